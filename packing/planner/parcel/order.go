package parcel

import (
	"slices"
	"strings"
	"sync/atomic"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/packing/planner/tiers"
	"solander/sheet"
)

// Order is an order made ready, or several that may share parcels: the sheets in groups of alike ones of one
// order, so that a set of them is a vector of counts.
type Order struct {
	*packing.Order // the first by id
	Members        []Member
	All            Members // those that have sheets here
	Way            *means.Way
	Groups         []Group
	Counts         []int // copies in each group
	Total          int   // copies in all
	Value          int64
	exact          fine
	most           int // states up to which an order is solved exactly
	// Of each wrap that lays sheets side by side, what is known of it; nil of others. partly is set when more
	// choices were there than are tried side by side.
	spreads []*tiers.Spread
	Partly  *atomic.Bool
}

// Group is alike sheets of one order.
type Group struct {
	Member int            // whose they are
	First  *packing.Sheet // the smallest id
	Sheets []*packing.Sheet
	Leaf   sheet.Sheet
	Copies int
	Core   measure.Length // tightest roll
}

// fine says in which respects a smaller parcel is not always at least as good, so that nothing may be
// left out for being larger.
type fine struct{ size, mass, stiff bool }

func (k *Kit) Orders() []*Order {
	var list []*packing.Order
	for i := range k.P.Orders {
		list = append(list, &k.P.Orders[i])
	}
	slices.SortFunc(list, func(a, b *packing.Order) int { return strings.Compare(a.ID, b.ID) })
	var out []*Order
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
		out = append(out, k.NewOrder(joint...))
	}
	return out
}

// NewOrder makes an order ready, or several, ascending by id.
func (k *Kit) NewOrder(joint ...*packing.Order) *Order {
	o := &Order{Order: joint[0], Way: k.way(joint[0].Destination)}
	for _, p := range joint {
		o.join(p)
	}
	for _, g := range o.Groups {
		o.Counts = append(o.Counts, g.Copies)
	}
	o.exact, o.most = k.fineness(o), k.P.Options.States()
	o.Partly, o.spreads = &atomic.Bool{}, make([]*tiers.Spread, len(k.Wraps))
	for i, w := range k.Wraps {
		if len(w.Ground) > 0 {
			o.spreads[i] = tiers.NewSpread(o.laying(w), o.Partly, o.exactly())
		}
	}
	return o
}

func (o *Order) add(s *packing.Sheet, from int) {
	n := s.Number()
	for i := range o.Groups[from:] {
		if g := &o.Groups[from+i]; g.First.Alike(s) {
			g.Sheets = append(g.Sheets, s)
			g.Copies += n
			return
		}
	}
	g := Group{Member: len(o.Members), First: s, Sheets: []*packing.Sheet{s}, Copies: n}
	g.Leaf = sheet.Sheet{Width: s.Width, Height: s.Height, Thickness: s.Caliper, Mass: s.EachMass()}
	if s.Roll != nil {
		g.Core = s.Roll.Tightest
	}
	o.Groups = append(o.Groups, g)
}

// Facts is what house rules may ask about the sheets of a parcel.
type Facts struct {
	N       int
	Value   int64
	longest measure.Length
	core    measure.Length // smallest inner diameter its sheets allow
	stiff   bool
	NoRoll  int // index of the first group that may not be rolled, -1 if all may
	Orders  Members
	Any     bool // the sheets are some of these orders, it is not known of which: what holds must hold for each
}

func (o *Order) Facts(set []int) Facts {
	f := Facts{NoRoll: -1}
	for g, n := range set {
		if n == 0 {
			continue
		}
		s := o.Groups[g].First
		f.Orders |= 1 << o.Groups[g].Member
		f.N += n
		f.Value += int64(n) * s.Value
		f.longest = max(f.longest, s.Width, s.Height)
		f.core = max(f.core, o.Groups[g].Core)
		f.stiff = f.stiff || s.Stiff
		if s.Roll == nil && f.NoRoll < 0 {
			f.NoRoll = g
		}
	}
	return f
}

// Within is what of a set a layer of a wrap goes round: see means.Wrap.
func (o *Order) Within(w *means.Wrap, of packing.Shape, set []int) []int {
	return w.Within(of, set, func(g int) *packing.Sheet { return o.Groups[g].First })
}

// Number is how many copies a set has.
func (o *Order) Number(set []int) int {
	n := 0
	for _, copies := range set {
		n += copies
	}
	return n
}

// States returns how many sets of sheets an order has, or most+1 when more.
func (o *Order) States(most int) int {
	n := 1
	for _, c := range o.Counts {
		if n *= c + 1; n > most {
			return most + 1
		}
	}
	return n
}

// exactly reports whether the order is solved exactly.
func (o *Order) exactly() bool { return o.States(o.most) <= o.most }

// laying is how a wrap lays the order's sheets side by side.
func (o *Order) laying(w *means.Wrap) tiers.Laying {
	l := tiers.Laying{Beside: w.InTier(), Between: w.Between}
	for i := range w.Stages {
		l.Gaps = l.Gaps || w.Stages[i].Each == packing.PerGap
	}
	l.All = o.exact.size || w.KeepsThick || o.exact.mass && l.Gaps
	return l
}
