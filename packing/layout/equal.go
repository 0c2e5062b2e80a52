package layout

import (
	"context"
	"slices"

	"solander/measure"
)

// Count is the layout of equal pieces found. No layout holds more than Bound; Proven says that none holds
// more than this one.
type Count struct {
	N, Bound int
	Layout   Layout
	Proven   bool
}

// MostEqual lays as many pieces of one size into the room as it can, each either way round. It first looks
// for layouts of five blocks, each again of five blocks (A. Lins, L. Lins, R. Morabito, "An n-tet graph
// approach for non-guillotine packings of n-dimensional boxes into an n-container", 1998, name the
// family; cuts from edge to edge are among them), then lets the exact search try one piece more until the
// bound is met. When ctx ends first the answer is not proven.
// Faults: Invalid for a side that is not positive.
func MostEqual(ctx context.Context, room Room, piece Piece) (Count, error) {
	if err := room.valid(); err != nil {
		return Count{}, err
	}
	if err := sides("piece", 0, piece.Width, piece.Height); err != nil {
		return Count{}, err
	}
	q := newQuestion(ctx, int64(room.Width), int64(room.Height))
	k := newKind(int64(piece.Width), int64(piece.Height), piece.Turn)
	out := Count{Bound: q.bound(k)}
	if out.Bound > 0 {
		b := newBlocks(ctx, k, q.w, q.h)
		out.N = b.most(q.w, q.h)
		b.lay(&out.Layout, piece, q.w, q.h, 0, 0)
	}
	for out.N < out.Bound && ctx.Err() == nil {
		pieces := slices.Repeat([]Piece{piece}, out.N+1)
		l, ok, err := Fits(ctx, room, pieces)
		switch {
		case err != nil:
			continue
		case !ok:
			out.Bound = out.N
		default:
			out.N, out.Layout = out.N+1, l
		}
	}
	for i := range out.Layout {
		out.Layout[i].Piece = 0
	}
	out.Proven = out.N == out.Bound
	return out, nil
}

// bound returns the least of three bounds: area of the room as far as sums of sides reach, the same in
// every pair of scales, and, where whole pieces were cut into strips one unit wide, the strips that lie in
// full rows (F. W. Barnes, "Packing the maximum number of m × n tiles in a large p × q rectangle", 1979).
func (q *question) bound(k kind) int {
	q.kinds, q.left = []kind{k}, []int{1}
	q.shift = shiftFor(q.w, q.h)
	if !q.alone(&k) {
		return 0
	}
	area := shifted(q.w, q.h, 0)
	if q.shift > 0 { // more than 2^52 square units: no area is reckoned beyond that
		area = shifted(q.w, q.h, q.shift) + 1
	}
	one := max(shifted(k.way[0][0], k.way[0][1], q.shift), 1)
	q.left[0] = int(min(area/one, 1<<20))
	q.across, q.along = newSums(q, 0), newSums(q, 1)
	w, h := q.across.of(q.left).most(q.w), q.along.of(q.left).most(q.h)
	least := q.left[0]
	if q.shift == 0 {
		least = min(least, int(w*h/one))
		if k.ways == 2 {
			least = min(least, int((w*h-max(barnes(w, h, k.way[0][0]), barnes(w, h, k.way[0][1])))/one))
		}
	}
	for _, sx := range scalesOf(w, []int64{k.way[0][0], k.way[0][1]}, 1<<10) {
		for _, sy := range scalesOf(h, []int64{k.way[0][0], k.way[0][1]}, 1<<10) {
			shift := shiftFor(sx.full(), sy.full())
			if each := k.scaled(q, sx, sy, shift); each > 0 {
				least = min(least, int((shifted(sx.full(), sy.full(), shift)+1-int64(1&^min(shift, 1)))/each))
			}
		}
	}
	return least
}

// barnes is the least area that strips of one unit by side, either way, leave empty in w × h.
func barnes(w, h, side int64) int64 {
	r, s := w%side, h%side
	return min(r*s, (side-r)*(side-s))
}

// blocks finds layouts of five blocks, each of one way round or again of five blocks.
type blocks struct {
	ctx    context.Context
	kind   kind
	xs, ys sumset
	known  map[[2]int64]block
	steps  int
}

// block is the number of pieces in a rectangle, and how it is divided: x1 ≤ x2 and y1 ≤ y2 cut it into
// (0,0)–(x1,y2), (x1,0)–(w,y1), (x1,y1)–(x2,y2), (0,y2)–(x2,h), (x2,y1)–(w,h). With x2 = 0 it is one
// piece, when n is 1.
type block struct {
	n              int
	x1, x2, y1, y2 int64
}

const (
	mostBlocks = 160       // sums of sides along an axis; with more of them only straight cuts are tried
	blockSteps = 1_500_000 // divisions looked at
)

func newBlocks(ctx context.Context, k kind, w, h int64) *blocks {
	q := newQuestion(ctx, w, h)
	q.kinds, q.left = []kind{k}, []int{1 << 12}
	xs, ys := newSums(q, 0).of(q.left), newSums(q, 1).of(q.left)
	return &blocks{ctx: ctx, kind: k, xs: *xs, ys: *ys, known: map[[2]int64]block{}}
}

// reach cuts a rectangle down to what sums of sides reach.
func (b *blocks) reach(w, h int64) (int64, int64) { return b.xs.most(w), b.ys.most(h) }

func (b *blocks) one(w, h int64) int {
	for _, way := range b.kind.way[:b.kind.ways] {
		if way[0] <= w && way[1] <= h {
			return 1
		}
	}
	return 0
}

func (b *blocks) bound(w, h int64) int {
	if b.one(w, h) == 0 {
		return 0
	}
	shift := shiftFor(w, h)
	return int((shifted(w, h, shift) + int64(min(shift, 1))) / max(shifted(b.kind.way[0][0], b.kind.way[0][1], shift), 1))
}

func (b *blocks) most(w, h int64) int { return b.get(w, h).n }

func (b *blocks) get(w, h int64) block {
	if w <= 0 || h <= 0 {
		return block{}
	}
	w, h = b.reach(w, h)
	n := b.one(w, h)
	if n == 0 {
		return block{}
	}
	key := [2]int64{w, h}
	if d, ok := b.known[key]; ok {
		return d
	}
	d := block{n: n}
	if b.rows(&d, w, h); d.n < b.bound(w, h) {
		b.straight(&d, w, h)
	}
	if d.n < b.bound(w, h) && max(len(b.xs), len(b.ys)) <= mostBlocks {
		b.five(&d, w, h)
	}
	b.known[key] = d
	return d
}

// rows lays all pieces one way round.
func (b *blocks) rows(d *block, w, h int64) {
	for _, way := range b.kind.way[:b.kind.ways] {
		if way[0] > w || way[1] > h {
			continue
		}
		if n := int((w / way[0]) * (h / way[1])); n > d.n {
			if w >= 2*way[0] {
				*d = block{n, way[0], way[0], 0, h}
			} else {
				*d = block{n, w, w, way[1], way[1]}
			}
		}
	}
}

func (b *blocks) straight(d *block, w, h int64) {
	for _, x := range b.xs {
		if x > 0 && 2*x <= w {
			b.better(d, block{b.most(x, h) + b.most(w-x, h), x, x, 0, h})
		}
	}
	for _, y := range b.ys {
		if y > 0 && 2*y <= h {
			b.better(d, block{b.most(w, y) + b.most(w, h-y), w, w, y, y})
		}
	}
}

func (b *blocks) better(d *block, other block) {
	if other.n > d.n {
		*d = other
	}
}

// five tries every division into five blocks with all of its lines at sums of sides.
func (b *blocks) five(d *block, w, h int64) {
	limit := b.bound(w, h)
	for _, x1 := range b.xs {
		for _, x2 := range b.xs {
			if x1 == 0 || x2 <= x1 || x2 >= w {
				continue
			}
			for _, y1 := range b.ys {
				if y1 == 0 || y1 >= h {
					continue
				}
				for _, y2 := range b.ys {
					if y2 <= y1 || y2 >= h {
						continue
					}
					if b.steps++; d.n >= limit || b.steps > blockSteps || b.steps%lookEvery == 0 && b.ctx.Err() != nil {
						return
					}
					b.divide(d, w, h, x1, x2, y1, y2)
				}
			}
		}
	}
}

func (b *blocks) divide(d *block, w, h, x1, x2, y1, y2 int64) {
	if b.bound(x1, y2)+b.bound(w-x1, y1)+b.bound(x2-x1, y2-y1)+b.bound(x2, h-y2)+b.bound(w-x2, h-y1) <= d.n {
		return
	}
	n := b.most(x1, y2) + b.most(w-x1, y1) + b.most(x2-x1, y2-y1) + b.most(x2, h-y2) + b.most(w-x2, h-y1)
	b.better(d, block{n, x1, x2, y1, y2})
}

// lay tells where the pieces of a rectangle at (x, y) lie.
func (b *blocks) lay(out *Layout, piece Piece, w, h, x, y int64) {
	if w <= 0 || h <= 0 {
		return
	}
	w, h = b.reach(w, h)
	d := b.get(w, h)
	if d.n == 0 {
		return
	}
	if d.x2 == 0 {
		b.single(out, piece, w, h, x, y)
		return
	}
	b.lay(out, piece, d.x1, d.y2, x, y)
	b.lay(out, piece, w-d.x1, d.y1, x+d.x1, y)
	b.lay(out, piece, d.x2-d.x1, d.y2-d.y1, x+d.x1, y+d.y1)
	b.lay(out, piece, d.x2, h-d.y2, x, y+d.y2)
	b.lay(out, piece, w-d.x2, h-d.y1, x+d.x2, y+d.y1)
}

func (b *blocks) single(out *Layout, piece Piece, w, h, x, y int64) {
	for _, way := range b.kind.way[:b.kind.ways] {
		if way[0] <= w && way[1] <= h {
			*out = append(*out, Place{
				0, measure.Length(x), measure.Length(y), measure.Length(way[0]), measure.Length(way[1]),
				way[0] != int64(piece.Width),
			})
			return
		}
	}
}
