package planner

import (
	"slices"
	"strings"
	"sync/atomic"

	"solander/measure"
	"solander/packing"
	"solander/sheet"
)

// order is an order made ready, or several that may share parcels: the sheets in groups of alike ones of one
// order, so that a set of them is a vector of counts.
type order struct {
	*packing.Order // the first by id
	members        []member
	all            members // those that have sheets here
	way            *way
	groups         []group
	counts         []int // copies in each group
	total          int   // copies in all
	value          int64
	exact          fine
	most           int // states up to which an order is solved exactly
	// Of each wrap that lays sheets side by side, what is known of it; nil of others. partly is set when more
	// choices were there than are tried side by side.
	spreads []*spread
	partly  *atomic.Bool
}

// group is alike sheets of one order.
type group struct {
	member int            // whose they are
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
	var list []*packing.Order
	for i := range k.p.Orders {
		list = append(list, &k.p.Orders[i])
	}
	slices.SortFunc(list, func(a, b *packing.Order) int { return strings.Compare(a.ID, b.ID) })
	var out []*order
	for i, p := range list {
		joint := []*packing.Order{p}
		if p.Combine != "" {
			same := func(q *packing.Order) bool { return q.Combine == p.Combine }
			if slices.ContainsFunc(list[:i], same) {
				continue
			}
			for _, q := range list[i+1:] {
				if same(q) {
					joint = append(joint, q)
				}
			}
		}
		out = append(out, k.newOrder(joint...))
	}
	return out
}

// newOrder makes an order ready, or several, ascending by id.
func (k *kit) newOrder(joint ...*packing.Order) *order {
	o := &order{Order: joint[0], way: k.way(joint[0].Destination)}
	for _, p := range joint {
		o.join(p)
	}
	for _, g := range o.groups {
		o.counts = append(o.counts, g.copies)
	}
	o.exact, o.most = k.fineness(o), k.p.Options.States()
	o.partly, o.spreads = &atomic.Bool{}, make([]*spread, len(k.wraps))
	for i, w := range k.wraps {
		if len(w.ground) > 0 {
			o.spreads[i] = newSpread(o.laying(w), o.partly, o.exactly())
		}
	}
	return o
}

func (o *order) add(s *packing.Sheet, from int) {
	n := s.Number()
	for i := range o.groups[from:] {
		if g := &o.groups[from+i]; g.first.Alike(s) {
			g.sheets = append(g.sheets, s)
			g.copies += n
			return
		}
	}
	g := group{member: len(o.members), first: s, sheets: []*packing.Sheet{s}, copies: n}
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
	orders  members
	any     bool // the sheets are some of these orders, it is not known of which: what holds must hold for each
}

func (o *order) facts(set []int) facts {
	f := facts{noRoll: -1}
	for g, n := range set {
		if n == 0 {
			continue
		}
		s := o.groups[g].first
		f.orders |= 1 << o.groups[g].member
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

// states returns how many sets of sheets an order has, or most+1 when more.
func (o *order) states(most int) int {
	n := 1
	for _, c := range o.counts {
		if n *= c + 1; n > most {
			return most + 1
		}
	}
	return n
}

// exactly reports whether the order is solved exactly.
func (o *order) exactly() bool { return o.states(o.most) <= o.most }

// laying is how a wrap lays the order's sheets side by side.
func (o *order) laying(w *wrap) laying {
	l := laying{beside: w.InTier(), between: w.Between}
	for i := range w.layers {
		l.gaps = l.gaps || w.layers[i].per == packing.PerGap
	}
	l.all = o.exact.size || w.keepsThick || o.exact.mass && l.gaps
	return l
}
