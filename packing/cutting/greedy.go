package cutting

import (
	"cmp"
	"math/bits"
	"slices"

	"solander/packing/cutting/onesheet"
)

// slot is a free rectangle, or one with a piece in its corner and two slots beside and above it.
type slot struct {
	w, h          int64
	stock         int
	piece         *onesheet.Joint
	upright       bool // the first cut: beside the piece, all the way up
	beside, above *slot
}

// greedily is one way to lay pieces one after the other.
type greedily struct {
	order  func(w, h int64) int64 // larger first
	fit    func(s *slot, w, h int64) int64
	split  func(s *slot, w, h int64) bool // whether the first cut is upright
	prefer int                            // stock opened first
}

var orders = []func(w, h int64) int64{
	halfArea,
	func(w, h int64) int64 { return max(w, h) },
	func(w, h int64) int64 { return min(w, h) },
	func(w, h int64) int64 { return w },
	func(w, h int64) int64 { return h },
	func(w, h int64) int64 { return w + h },
}

var fittings = []func(s *slot, w, h int64) int64{
	func(s *slot, w, h int64) int64 { return halfArea(s.w, s.h) },
	func(s *slot, w, h int64) int64 { return min(s.w-w, s.h-h) },
	func(s *slot, w, h int64) int64 { return max(s.w-w, s.h-h) },
}

var splits = []func(s *slot, w, h int64) bool{
	func(s *slot, w, h int64) bool { return s.w-w > s.h-h },
	func(s *slot, w, h int64) bool { return s.w-w <= s.h-h },
	func(s *slot, w, h int64) bool { return true },
	func(s *slot, w, h int64) bool { return false },
}

// halfArea orders areas up to 2^82: w · h / 2^20.
func halfArea(w, h int64) int64 {
	hi, lo := bits.Mul64(uint64(w), uint64(h))
	return int64(hi<<44|lo>>20)<<1 | int64(min(1, lo&(1<<20-1)))
}

// greedy offers a plan for every order, fitting, split and stock opened first.
func (p *planner) greedy() {
	for prefer := range p.stock {
		for _, order := range orders {
			for _, fit := range fittings {
				for _, split := range splits {
					if p.best != nil && p.ctx.Err() != nil {
						return
					}
					p.lay(greedily{order, fit, split, prefer})
				}
			}
		}
	}
}

func (p *planner) lay(g greedily) {
	var free, roots []*slot
	used := make([]int, len(p.stock))
	for _, i := range p.sorted(g.order) {
		s, way := p.tightest(free, i, g)
		if s == nil {
			if s, way = p.open(i, g, used); s == nil {
				return
			}
			roots = append(roots, s)
		} else {
			free = slices.DeleteFunc(free, func(f *slot) bool { return f == s })
		}
		free = append(free, s.place(i, way, g)...)
	}
	sheets := make([]sheet, len(roots))
	for i, r := range roots {
		sheets[i] = sheet{r.stock, r.joint()}
	}
	p.cheapen(sheets, used)
	p.laid = append(p.laid, sheets...)
	p.offer(sheets)
}

// sorted lists every single piece, the largest first.
func (p *planner) sorted(order func(w, h int64) int64) []int {
	var out []int
	for i, d := range p.demand {
		for range d.Count {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		x, y := p.ways(a)[0], p.ways(b)[0]
		return cmp.Compare(order(y[0], y[1]), order(x[0], x[1]))
	})
	return out
}

func (p *planner) tightest(free []*slot, i int, g greedily) (*slot, [2]int64) {
	var best *slot
	var bestWay [2]int64
	least := int64(-1)
	ways := p.ways(i)
	for _, s := range free {
		for _, way := range ways {
			if way[0] > s.w || way[1] > s.h {
				continue
			}
			if v := g.fit(s, way[0], way[1]); least < 0 || v < least {
				best, bestWay, least = s, way, v
			}
		}
	}
	return best, bestWay
}

// open takes a new sheet: the preferred stock, else the first that is there and large enough.
func (p *planner) open(i int, g greedily, used []int) (*slot, [2]int64) {
	for n := range len(p.stock) + 1 {
		s := n - 1
		if n == 0 {
			s = g.prefer
		}
		if p.stock[s].Count > 0 && used[s] >= p.stock[s].Count {
			continue
		}
		w, h := p.size(s)
		root := &slot{w: w, h: h, stock: s}
		if fits, way := p.tightest([]*slot{root}, i, g); fits != nil {
			used[s]++
			return root, way
		}
	}
	return nil, [2]int64{}
}

// place puts a piece into the corner and returns the slots beside and above it.
func (s *slot) place(piece int, way [2]int64, g greedily) []*slot {
	w, h := way[0], way[1]
	s.piece = &onesheet.Joint{W: w, H: h, Piece: piece}
	s.upright = g.split(s, w, h)
	if s.upright {
		s.beside, s.above = &slot{w: s.w - w, h: s.h}, &slot{w: w, h: s.h - h}
	} else {
		s.beside, s.above = &slot{w: s.w - w, h: h}, &slot{w: s.w, h: s.h - h}
	}
	var out []*slot
	for _, f := range []*slot{s.beside, s.above} {
		if f.w > 0 && f.h > 0 {
			out = append(out, f)
		}
	}
	return out
}

func (s *slot) joint() *onesheet.Joint {
	if s.piece == nil {
		return nil
	}
	if s.upright {
		return onesheet.Join(onesheet.Join(s.piece, s.above.joint(), false), s.beside.joint(), true)
	}
	return onesheet.Join(onesheet.Join(s.piece, s.beside.joint(), true), s.above.joint(), false)
}

// cheapen moves what lies on a sheet to a cheaper or smaller one that holds it.
func (p *planner) cheapen(sheets []sheet, used []int) {
	for i := range sheets {
		for s, st := range p.stock {
			from := p.stock[sheets[i].stock]
			if !(rank{}).with(st).less((rank{}).with(from)) || !p.fitsOn(s, sheets[i].joint.W, sheets[i].joint.H) {
				continue
			}
			if st.Count == 0 || used[s] < st.Count {
				used[sheets[i].stock]--
				used[s]++
				sheets[i].stock = s
			}
		}
	}
}

// fillSheets offers plans that fill one sheet after the other with the most area by search.
func (p *planner) fillSheets() {
	for first := range p.stock {
		if p.ctx.Err() != nil {
			return
		}
		if sheets := p.fillFrom(first); sheets != nil {
			p.offer(sheets)
		}
	}
}

const fillWork = 8_000_000 // of a search for one sheet

// fillFrom fills sheets of one stock until all is cut; nil when it does not end well.
func (p *planner) fillFrom(stock int) []sheet {
	return p.fillRest(stock, nil, p.counts())
}

// fillRest does the same for what is left after some sheets.
func (p *planner) fillRest(stock int, begin []sheet, open []int) []sheet {
	left, rest := slices.Clone(open), 0
	for _, n := range left {
		rest += n
	}
	used := make([]int, len(p.stock))
	sheets := slices.Clone(begin)
	for _, s := range begin {
		used[s.stock]++
	}
	for rest > 0 {
		j := p.fillOne(stock, left)
		if j == nil || p.ctx.Err() != nil || p.best != nil && len(sheets)+1 > len(p.best) {
			return nil
		}
		rest -= j.TakeFrom(left)
		sheets, used[stock] = append(sheets, sheet{stock, j}), used[stock]+1
	}
	p.cheapen(sheets, used)
	return sheets
}

func (p *planner) fillOne(stock int, left []int) *onesheet.Joint {
	var kinds []onesheet.Kind
	var asked []int
	for i, d := range p.demand {
		if left[i] > 0 {
			kinds = append(kinds, onesheet.Kind{Width: d.Width, Height: d.Height, Max: left[i], Value: halfArea(int64(d.Width)+p.kerf, int64(d.Height)+p.kerf)>>8 + 1, Turn: d.Turn})
			asked = append(asked, i)
		}
	}
	t := onesheet.NewTable(p.ctx, p.sheet(stock), kinds, p.kerf)
	if t == nil {
		return nil
	}
	best, _, _ := t.Within(0, fillWork)
	return best.Renamed(asked)
}
