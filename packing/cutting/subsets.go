package cutting

import "solander/packing/cutting/onesheet"

// subsets solves a plan exactly: for every set of pieces, counted by kind, the smallest rectangles that it
// can be cut from, and from these the best cover of all pieces by sheets.
//
// A set cut from edge to edge divides into two sets, side by side or above one another; with one piece it
// is that piece. So the smallest rectangles of a set come from those of its two parts, for every division.
type subsets struct {
	p      *planner
	kinds  []int   // of the demand
	radix  []int   // step of a kind in the number of a set
	counts [][]int // of each set
	shapes [][]shape
	cover  map[int]covered
	scarce []int // stock of which there may be too few
	ticks  int
	cut    bool
}

// shape is a rectangle of a set: from shape i of set a and shape k of set b, or one piece (b = 0).
type shape struct {
	w, h    int64
	a, b    int32
	i, k    int32
	upright bool
}

type covered struct {
	rank  rank
	ok    bool
	set   int // on the first sheet
	stock int
	next  int // key of the rest
}

const (
	mostSets      = 20_000
	mostDivisions = 4_000_000
	mostStates    = 2_000_000
)

// subsets reports whether it has ended with the best plan there is.
func (p *planner) subsets() bool {
	s := &subsets{p: p}
	if !s.count() {
		return false
	}
	for set := 1; set < len(s.counts); set++ {
		if s.shape(set); s.cut {
			return false
		}
	}
	s.cover = map[int]covered{}
	states := len(s.counts)
	for i, st := range p.stock {
		if st.Count > 0 && st.Count < p.total {
			s.scarce = append(s.scarce, i)
			if states *= st.Count + 1; states > mostStates {
				return false
			}
		}
	}
	last := s.best(s.key(len(s.counts)-1, make([]int, len(s.scarce))))
	if s.cut {
		return false
	}
	if !last.ok {
		p.best = nil
		return true
	}
	p.best = s.sheets()
	return true
}

// count numbers the sets; false when there are too many.
func (s *subsets) count() bool {
	sets, divisions := 1, 1
	for i, d := range s.p.demand {
		if d.Count == 0 {
			continue
		}
		s.kinds, s.radix = append(s.kinds, i), append(s.radix, sets)
		sets *= d.Count + 1
		divisions *= (d.Count + 1) * (d.Count + 2) / 2
		if sets > mostSets || divisions > mostDivisions {
			return false
		}
	}
	s.counts = make([][]int, sets)
	s.shapes = make([][]shape, sets)
	for set := range s.counts {
		s.counts[set] = make([]int, len(s.kinds))
		for k, step := range s.radix {
			s.counts[set][k] = set / step % (s.p.demand[s.kinds[k]].Count + 1)
		}
	}
	return true
}

// parts calls done with every set within a set, until it returns false.
func (s *subsets) parts(set int, done func(part int) bool) {
	have := s.counts[set]
	at := make([]int, len(have))
	for part := 0; ; {
		if !done(part) {
			return
		}
		k := 0
		for ; k < len(at); k++ {
			if at[k] < have[k] {
				at[k]++
				part += s.radix[k]
				break
			}
			part -= at[k] * s.radix[k]
			at[k] = 0
		}
		if k == len(at) {
			return
		}
	}
}

func (s *subsets) tick() bool {
	if s.ticks++; s.ticks%256 == 0 && s.p.ctx.Err() != nil {
		s.cut = true
	}
	return !s.cut
}

func (s *subsets) shape(set int) {
	for k, step := range s.radix {
		if set == step {
			for _, way := range s.p.ways(s.kinds[k]) {
				s.keep(set, shape{w: way[0], h: way[1], a: int32(s.kinds[k])})
			}
			return
		}
	}
	s.parts(set, func(part int) bool {
		rest := set - part
		if part == 0 || part > rest {
			return true
		}
		for i, a := range s.shapes[part] {
			for k, b := range s.shapes[rest] {
				s.keep(set, shape{a.w + b.w, max(a.h, b.h), int32(part), int32(rest), int32(i), int32(k), true})
				s.keep(set, shape{max(a.w, b.w), a.h + b.h, int32(part), int32(rest), int32(i), int32(k), false})
			}
		}
		return s.tick()
	})
}

// keep adds a shape unless it fits on no sheet or another is no larger, and drops those that are no smaller.
func (s *subsets) keep(set int, n shape) {
	if !s.p.fitsAny(n.w, n.h) {
		return
	}
	list := s.shapes[set]
	for _, o := range list {
		if o.w <= n.w && o.h <= n.h {
			return
		}
	}
	out := list[:0]
	for _, o := range list {
		if n.w > o.w || n.h > o.h {
			out = append(out, o)
		}
	}
	s.shapes[set] = append(out, n)
}

// key numbers a set together with how many of the scarce stock have been used.
func (s *subsets) key(set int, used []int) int {
	key := 0
	for i, n := range used {
		key = key*(s.p.stock[s.scarce[i]].Count+1) + n
	}
	return key*len(s.counts) + set
}

func (s *subsets) split(key int) (set int, used []int) {
	set, key = key%len(s.counts), key/len(s.counts)
	used = make([]int, len(s.scarce))
	for i := len(used) - 1; i >= 0; i-- {
		n := s.p.stock[s.scarce[i]].Count + 1
		used[i], key = key%n, key/n
	}
	return set, used
}

// best returns the best cover of a set with what is left of the stock.
func (s *subsets) best(key int) covered {
	set, used := s.split(key)
	if set == 0 {
		return covered{ok: true}
	}
	if c, ok := s.cover[key]; ok {
		return c
	}
	var out covered
	first := 0
	for s.counts[set][first] == 0 {
		first++
	}
	s.parts(set, func(part int) bool {
		if s.counts[part][first] == 0 || len(s.shapes[part]) == 0 {
			return s.tick()
		}
		for st := range s.p.stock {
			s.try(&out, set, part, st, used)
		}
		return s.tick()
	})
	s.cover[key] = out
	return out
}

func (s *subsets) try(out *covered, set, part, stock int, used []int) {
	if s.on(part, stock) < 0 {
		return
	}
	next := append([]int{}, used...)
	for i, sc := range s.scarce {
		if sc == stock {
			if next[i]++; next[i] > s.p.stock[sc].Count {
				return
			}
		}
	}
	key := s.key(set-part, next)
	rest := s.best(key)
	if !rest.ok {
		return
	}
	if r := rest.rank.with(s.p.stock[stock]); !out.ok || r.less(out.rank) {
		*out = covered{r, true, part, stock, key}
	}
}

// on returns a shape of a set that fits on a stock, or -1.
func (s *subsets) on(set, stock int) int {
	for i, sh := range s.shapes[set] {
		if s.p.fitsOn(stock, sh.w, sh.h) {
			return i
		}
	}
	return -1
}

func (s *subsets) sheets() []sheet {
	var out []sheet
	key := s.key(len(s.counts)-1, make([]int, len(s.scarce)))
	for {
		if set, _ := s.split(key); set == 0 {
			return out
		}
		c := s.cover[key]
		out = append(out, sheet{c.stock, s.joint(c.set, s.on(c.set, c.stock))})
		key = c.next
	}
}

func (s *subsets) joint(set, i int) *onesheet.Joint {
	sh := s.shapes[set][i]
	if sh.b == 0 {
		return &onesheet.Joint{W: sh.w, H: sh.h, Piece: int(sh.a)}
	}
	return onesheet.Join(s.joint(int(sh.a), int(sh.i)), s.joint(int(sh.b), int(sh.k)), sh.upright)
}
