package layout

import (
	"context"
	"slices"

	"solander/measure"
)

// question asks whether pieces, by kind, fit into w × h. Two searches answer it, in stairs.go and fill.go.
type question struct {
	ctx     context.Context
	w, h    int64
	swapped bool
	shift   uint
	kinds   []kind
	left    []int // pieces left, by kind
	pieces  int
	anchor  int // the kind of the one largest piece, or -1
	puts    []put
	across  *sums // of what is left, along x
	along   *sums // along y
	steps   int
	limit   int // steps; 0 is no limit
	cut     bool
	failed  map[string]struct{}
	stored  int
	key     []byte
}

// kind is pieces of one size: width and height, each way round.
type kind struct {
	way  [2][2]int64
	ways int
	area int64
}

func newKind(w, h int64, turn bool) kind {
	if turn && w < h {
		w, h = h, w
	}
	k := kind{way: [2][2]int64{{w, h}, {h, w}}, ways: 1}
	if turn && w != h {
		k.ways = 2
	}
	return k
}

func (k kind) same(o kind) bool { return k.way[0] == o.way[0] && k.ways == o.ways }

type put struct {
	kind, way int
	x, y      int64
}

type verdict int

const (
	none verdict = iota
	found
	unknown // the time or the steps ended first
)

const (
	rememberAfter = 48       // steps before a search remembers what failed, and looks at sums of sides
	rememberBytes = 48 << 20 // of memory
	lookEvery     = 256      // steps between looks at the context
	firstSteps    = 4000     // of the first search, before the other has its turn
)

func newQuestion(ctx context.Context, w, h int64) *question { return &question{ctx: ctx, w: w, h: h} }

// group sorts pieces into kinds and returns which pieces are of each.
func (q *question) group(pieces []Piece) [][]int {
	members := make([][]int, 0, len(pieces))
	for i, p := range pieces {
		k := newKind(int64(p.Width), int64(p.Height), p.Turn)
		at := slices.IndexFunc(q.kinds, k.same)
		if at < 0 {
			at = len(q.kinds)
			q.kinds = append(q.kinds, k)
			q.left = append(q.left, 0)
			members = append(members, nil)
		}
		q.left[at]++
		members[at] = append(members[at], i)
	}
	return members
}

// layout tells where the pieces lie, in the order of the pieces.
func (q *question) layout(puts []put, members [][]int, pieces []Piece) Layout {
	next := make([]int, len(members))
	out := make(Layout, 0, len(puts))
	for _, p := range puts {
		i := members[p.kind][next[p.kind]]
		next[p.kind]++
		out = append(out, q.place(p, i, int64(pieces[i].Width)))
	}
	slices.SortFunc(out, func(a, b Place) int { return a.Piece - b.Piece })
	return out
}

// place turns the axes back when the search has swapped them.
func (q *question) place(p put, piece int, width int64) Place {
	w, h := q.kinds[p.kind].way[p.way][0], q.kinds[p.kind].way[p.way][1]
	x, y := p.x, p.y
	if q.swapped {
		x, y, w, h = y, x, h, w
	}
	return Place{piece, measure.Length(x), measure.Length(y), measure.Length(w), measure.Length(h), w != width}
}

// decide answers, unless the context ends first: then it is unknown. The two searches take turns, each time for
// longer, since either may be far quicker than the other.
func (q *question) decide() ([]put, verdict) {
	q.prepare()
	slack, ok := q.slack()
	if !ok || !q.pairs() || q.pieces > 3 && q.tooLarge() {
		return nil, none
	}
	for steps := firstSteps; ; steps *= 4 {
		for _, search := range []func(int64) verdict{q.stairs, q.fill} {
			if q.ctx.Err() != nil {
				return nil, unknown
			}
			q.begin(steps)
			if v := search(slack); v != unknown {
				return q.puts, v
			}
		}
	}
}

func (q *question) begin(steps int) {
	q.puts, q.steps, q.limit, q.cut, q.failed, q.stored = q.puts[:0], 0, steps, false, nil, 0
}

// prepare lays the longer side of the room along x and reckons areas.
func (q *question) prepare() {
	if q.h > q.w {
		q.swapped = true
		q.w, q.h = q.h, q.w
		for i := range q.kinds {
			for j := range q.kinds[i].way {
				way := &q.kinds[i].way[j]
				way[0], way[1] = way[1], way[0]
			}
		}
	}
	q.shift = shiftFor(q.w, q.h)
	for i := range q.kinds {
		k := &q.kinds[i]
		k.area = shifted(k.way[0][0], k.way[0][1], q.shift)
		q.pieces += q.left[i]
	}
	q.across, q.along = newSums(q, 0), newSums(q, 1)
}

// slack returns the area that may stay empty, not less than it is. It reports false when there is too
// little area, or when a piece does not fit by itself.
func (q *question) slack() (int64, bool) {
	area := shifted(q.w, q.h, q.shift)
	if q.shift > 0 {
		area++ // the room is rounded up, pieces and waste are rounded down
	}
	for i, n := range q.left {
		if n == 0 {
			continue
		}
		k := &q.kinds[i]
		if !q.alone(k) || int64(n) > area/max(k.area, 1) {
			return 0, false
		}
		area -= int64(n) * k.area
	}
	return area, area >= 0
}

func (q *question) alone(k *kind) bool {
	for _, way := range k.way[:k.ways] {
		if way[0] <= q.w && way[1] <= q.h {
			return true
		}
	}
	return false
}

// pairs looks whether any two pieces fit beside or above one another.
func (q *question) pairs() bool {
	for i := range q.kinds {
		for j := i; j < len(q.kinds); j++ {
			if q.left[i] == 0 || q.left[j] == 0 || i == j && q.left[i] < 2 {
				continue
			}
			if !q.together(&q.kinds[i], &q.kinds[j]) {
				return false
			}
		}
	}
	return true
}

func (q *question) together(a, b *kind) bool {
	for _, v := range a.way[:a.ways] {
		for _, u := range b.way[:b.ways] {
			if v[0]+u[0] <= q.w && max(v[1], u[1]) <= q.h || v[1]+u[1] <= q.h && max(v[0], u[0]) <= q.w {
				return true
			}
		}
	}
	return false
}

func (q *question) tick() bool {
	q.steps++
	if q.limit > 0 && q.steps > q.limit || q.steps%lookEvery == 0 && q.ctx.Err() != nil {
		q.cut = true
	}
	return !q.cut
}

// take puts a piece down for the time of a search after it, and leaves it there when that finds a layout.
func (q *question) take(p put, after func() verdict) verdict {
	q.left[p.kind]--
	q.pieces--
	q.puts = append(q.puts, p)
	v := after()
	q.left[p.kind]++
	q.pieces++
	if v != found {
		q.puts = q.puts[:len(q.puts)-1]
	}
	return v
}

func (q *question) failedBefore(key []byte) bool {
	_, ok := q.failed[string(key)]
	return ok
}

func (q *question) fails(key []byte) {
	if q.stored += len(key) + 48; q.stored > rememberBytes {
		return
	}
	if q.failed == nil {
		q.failed = map[string]struct{}{}
	}
	q.failed[string(key)] = struct{}{}
}
