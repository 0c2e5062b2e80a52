package planner

import (
	"slices"
	"strings"

	"solander/measure"
	"solander/packing"
	"solander/sheet"
)

// order is an order made ready: its sheets in groups of alike ones, so that a set of them is a vector of
// counts.
type order struct {
	*packing.Order
	way    *way
	groups []group
	counts []int // copies in each group
	total  int   // copies in all
	value  int64
	exact  fine
}

// group is alike sheets.
type group struct {
	first  *packing.Sheet // the smallest id
	sheets []*packing.Sheet
	leaf   sheet.Sheet
	copies int
	core   measure.Length // tightest roll
}

// fine says in which respects a smaller parcel is not always at least as good, so that nothing may be
// left out for being larger.
type fine struct{ size, mass, stiff bool }

func (k *kit) orders() []*order {
	var out []*order
	for i := range k.p.Orders {
		out = append(out, k.newOrder(&k.p.Orders[i]))
	}
	slices.SortFunc(out, func(a, b *order) int { return strings.Compare(a.ID, b.ID) })
	return out
}

func (k *kit) newOrder(p *packing.Order) *order {
	o := &order{Order: p, way: k.way(p.Destination)}
	var sheets []*packing.Sheet
	for i := range p.Sheets {
		sheets = append(sheets, &p.Sheets[i])
	}
	slices.SortFunc(sheets, func(a, b *packing.Sheet) int { return strings.Compare(a.ID, b.ID) })
	for _, s := range sheets {
		o.add(s)
	}
	for _, g := range o.groups {
		o.counts = append(o.counts, g.copies)
	}
	o.exact = k.fineness(o)
	return o
}

func (o *order) add(s *packing.Sheet) {
	n := s.Number()
	o.total += n
	o.value += int64(n) * s.Value
	for i := range o.groups {
		if g := &o.groups[i]; g.first.Alike(s) {
			g.sheets = append(g.sheets, s)
			g.copies += n
			return
		}
	}
	g := group{first: s, sheets: []*packing.Sheet{s}, copies: n}
	g.leaf = sheet.Sheet{Width: s.Width, Height: s.Height, Thickness: s.Caliper, Mass: s.EachMass()}
	if s.Roll != nil {
		g.core = s.Roll.Tightest
	}
	o.groups = append(o.groups, g)
}

// facts is what house rules may ask about the sheets of a parcel.
type facts struct {
	n       int
	value   int64
	longest measure.Length
	core    measure.Length // smallest inner diameter its sheets allow
	stiff   bool
	noRoll  int // index of the first group that may not be rolled, -1 if all may
}

func (o *order) facts(set []int) facts {
	f := facts{noRoll: -1}
	for g, n := range set {
		if n == 0 {
			continue
		}
		s := o.groups[g].first
		f.n += n
		f.value += int64(n) * s.Value
		f.longest = max(f.longest, s.Width, s.Height)
		f.core = max(f.core, o.groups[g].core)
		f.stiff = f.stiff || s.Stiff
		if s.Roll == nil && f.noRoll < 0 {
			f.noRoll = g
		}
	}
	return f
}
