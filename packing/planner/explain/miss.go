package explain

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/tariff"
)

// How far an option gets in the documented order of the rules, by stage.
const (
	reachCount   = 0
	reachLayer   = 100 // and 10 for each layer, and the rank within it
	reachHouse   = 10_000
	reachService = 20_000
	reachLate    = 30_000
	reachStock   = 40_000
)

// Miss is an option that breaks a rule: a wrap, the packaging tried, and the service, nil when no service
// would help.
type Miss struct {
	wrap   *means.Wrap
	chain  *parcel.Choice
	Lies   *parcel.Tiered
	offer  *means.Offer
	looks  int64
	reach  int
	excess measure.Length // of packaging that does not fit: by how much
	lonely bool           // some other sheet must be there, too, rolled or flat
	Reason func() *packing.Reason
}

// further reports that a gets further than b; or as far and misses by less; or by as much and looks
// cheaper.
func (a *Miss) further(b *Miss) bool {
	switch {
	case b == nil:
		return true
	case a.reach != b.reach:
		return a.reach > b.reach
	case a.excess != b.excess:
		return a.excess < b.excess
	}
	return a.looks < b.looks
}

// trial tries every option for a set of sheets by one wrap and remembers what breaks.
type trial struct {
	k      *parcel.Kit
	o      *parcel.Order
	w      *means.Wrap
	set    []int
	facts  parcel.Facts
	rules  []*packing.Rule
	others []int // pieces of each item that other parcels take; nil = none
	offers []*means.Offer

	fits  map[*means.Item]bool  // outermost items that hold the contents
	works map[option]bool       // options that are admissible
	outer map[*means.Item]*Miss // outermost items that do not fit
	inner *Miss                 // the furthest that a wrap gets before its last layer
	tried map[option]*Miss      // outermost item and service
}

type option struct {
	item  *means.Item
	offer *means.Offer // nil: the packaging itself is not allowed
}

func newTrial(k *parcel.Kit, o *parcel.Order, w *means.Wrap, set []int, others []int) *trial {
	f := o.Facts(set)
	return &trial{
		k: k, o: o, w: w, set: set, facts: f, rules: k.Concerned(o, set, f), others: others, offers: o.Way.Offers,
		fits: map[*means.Item]bool{}, works: map[option]bool{}, outer: map[*means.Item]*Miss{}, tried: map[option]*Miss{},
	}
}

// run fills the trial.
func (t *trial) run() {
	if why := t.unsuited(); why != nil {
		if chain, ok := t.complete(nil, t.facts.N); ok {
			t.inner = &Miss{wrap: t.w, chain: chain, looks: t.looks(chain, nil), reach: reachCount, lonely: why.Rule == "wrap.rolled" || why.Rule == "wrap.flat", Reason: func() *packing.Reason { return why }}
		}
		return
	}
	t.k.NewFold(t.o, t.w, t.set, t.facts).Run(func(c *parcel.Final) {
		for _, of := range t.offers {
			if reach, _ := t.breaks(c, of); reach < 0 {
				t.works[option{c.Outer, of}] = true
			}
		}
	})
	x := t.k.NewFold(t.o, t.w, t.set, t.facts)
	x.Miss = t.missed
	x.Run(t.closed)
}

// unsuited says which of the rules before the layers the sheets break.
func (t *trial) unsuited() *packing.Reason {
	n, w := t.facts.N, t.w
	count := func(rule string, limit int, text string) *packing.Reason {
		return &packing.Reason{Rule: rule, Text: fmt.Sprintf(text, w.ID, tariff.Show(int64(limit), "sheets"), n), Got: int64(n), Limit: int64(limit), Unit: "sheets"}
	}
	switch {
	case n < w.Fewest:
		return count("wrap.fewest", w.Fewest, "%s is for at least %s; these are %d")
	case w.Most > 0 && n > w.Most:
		return count("wrap.most", w.Most, "%s is for at most %s; these are %d")
	case w.Shape == packing.Rolled && t.facts.NoRoll >= 0:
		s := t.o.Groups[t.facts.NoRoll].First
		return &packing.Reason{Rule: "sheet.roll", Text: "sheet " + s.ID + " may not be rolled"}
	case w.Shape == packing.Both && t.o.Number(t.o.Within(w, packing.Rolled, t.set)) == 0:
		return &packing.Reason{Rule: "wrap.rolled", Text: w.ID + " is for some rolled and some flat; none of these is rolled", Limit: 1, Unit: "sheets"}
	case w.Shape == packing.Both && t.o.Number(t.o.Within(w, packing.Flat, t.set)) == 0:
		return &packing.Reason{Rule: "wrap.flat", Text: w.ID + " is for some rolled and some flat; none of these lies flat", Limit: 1, Unit: "sheets"}
	}
	return nil
}

// complete adds to a chain of so many tiers the cheapest item for every entry that it has none for yet; false
// when the shelf has none for some layer.
func (t *trial) complete(chain *parcel.Choice, tiers int) (*parcel.Choice, bool) {
	has := map[[2]int]bool{}
	for c := chain; c != nil; c = c.Prev {
		has[[2]int{c.Layer, c.Group}] = true
	}
	add := func(l *means.Layer, group, pieces int) bool {
		if pieces == 0 || has[[2]int{l.Index, group}] {
			return true
		}
		if len(l.Choices) == 0 {
			return false
		}
		cheap := slices.MinFunc(l.Choices, func(a, b *means.Item) int { return cmp.Compare(a.Cost, b.Cost) })
		chain = &parcel.Choice{Prev: chain, Layer: l.Index, Group: group, Item: cheap, Count: pieces}
		return true
	}
	for i := range t.w.Stages {
		l := &t.w.Stages[i]
		set, levels := t.set, tiers
		if l.Of != "" {
			set = t.o.Within(t.w, l.Of, set)
			levels = t.o.Number(set)
		}
		for g, n := range set {
			if l.Each == packing.PerSheet && !add(l, g, l.Number*n) {
				return nil, false
			}
		}
		if l.Each != packing.PerSheet && !add(l, -1, pieces(l, levels)) {
			return nil, false
		}
	}
	return chain, true
}

// pieces is how many pieces a layer that is not per sheet takes for so many tiers.
func pieces(l *means.Layer, tiers int) int {
	if l.Each == packing.PerGap {
		return l.Number * max(tiers-1, 0)
	}
	return l.Number
}

// unpriced is the look of an option whose service has no price at all for the zone: it never looks cheaper.
const unpriced = math.MaxInt64

// looks is what an option seems to cost, by one service or by the cheapest.
func (t *trial) looks(chain *parcel.Choice, of *means.Offer) int64 {
	mass := t.k.P.Base(t.w.Wrap)
	for g, n := range t.set {
		mass += measure.Mass(n) * t.o.Groups[g].Leaf.Mass
	}
	sum := t.k.Work(t.w, t.facts.N)
	for c := chain; c != nil; c = c.Prev {
		mass += measure.Mass(c.Count) * c.Item.Mass
		sum += int64(c.Count) * c.Item.Cost
	}
	low := int64(-1)
	for _, o := range t.offers {
		if of != nil && o != of {
			continue
		}
		if p, priced := o.Looks(mass); priced && (low < 0 || p < low) {
			low = p
		}
	}
	if low < 0 {
		return unpriced
	}
	return sum + low
}

// missed is told of an item that does not fit in some layer.
func (t *trial) missed(lies *parcel.Tiered, chain *parcel.Choice, l *means.Layer, it *means.Item, g means.Gap, sized measure.Length) {
	full, ok := t.complete(chain, lies.Levels(t.facts.N))
	if !ok {
		return
	}
	m := &Miss{wrap: t.w, chain: full, Lies: lies, looks: t.looks(full, nil), reach: reachLayer + 10*l.Index + g.Rank, excess: g.Got - g.Limit}
	m.Reason = func() *packing.Reason {
		r := reason(g, l, it, sized)
		r.Text += words(lies)
		return r
	}
	if l.Index == len(t.w.Stages)-1 {
		if m.further(t.outer[it]) {
			t.outer[it] = m
		}
	} else if m.further(t.inner) {
		t.inner = m
	}
}

// closed is told of a parcel that closes.
func (t *trial) closed(closed *parcel.Final) {
	c := new(*closed) // the reasons are asked for later
	t.fits[c.Outer] = true
	if at, why := t.barred(c); why != nil {
		t.record(c, nil, reachHouse+at, func() *packing.Reason { return why })
		return
	}
	for _, of := range t.offers {
		reach, why := t.breaks(c, of)
		if reach < 0 {
			t.works[option{c.Outer, of}] = true
			continue
		}
		t.record(c, of, reach, why)
	}
}

func (t *trial) record(c *parcel.Final, of *means.Offer, reach int, why func() *packing.Reason) {
	key := option{c.Outer, of}
	m := &Miss{wrap: t.w, chain: c.Last, Lies: c.Lies, offer: of, looks: t.looks(c.Last, of), reach: reach, Reason: why}
	if m.further(t.tried[key]) {
		t.tried[key] = m
	}
}

// barred returns the first house rule in force that forbids the wrap itself.
func (t *trial) barred(c *parcel.Final) (int, *packing.Reason) {
	for i, r := range t.rules {
		if !parcel.InForce(&r.When, t.w.Shape, c.Mass) {
			continue
		}
		if why := parcel.ForbidsWrap(r, t.o, t.facts, t.w); why != nil {
			return i, why
		}
	}
	return 0, nil
}

// breaks looks at rules 4 to 7 for a closed parcel and a service: how far it gets, or -1 when it breaks
// none.
func (t *trial) breaks(c *parcel.Final, of *means.Offer) (int, func() *packing.Reason) {
	var force []*packing.Rule
	for i, r := range t.rules {
		if !parcel.InForce(&r.When, t.w.Shape, c.Mass) {
			continue
		}
		force = append(force, r)
		if why := parcel.ForbidsWrap(r, t.o, t.facts, t.w); why != nil {
			return reachHouse + i, func() *packing.Reason { return why }
		}
		if why := means.ForbidsClass(r, of.Service.Class); why != nil {
			return reachHouse + i, func() *packing.Reason { return why }
		}
	}
	p, e := t.k.Parcel(c, t.facts), means.Asks(force, t.facts.Value)
	if _, ok := of.Cost(&p, e); !ok {
		return reachService + of.Reach(&p, e), func() *packing.Reason { _, why := of.Price(&p, e); return why }
	}
	if by := t.o.By(t.facts); !of.InTime(by) {
		return reachLate, func() *packing.Reason { return late(t.k, by, of) }
	}
	if why := Short(t.k, c, t.others); why != nil {
		return reachStock, func() *packing.Reason { return why }
	}
	return -1, nil
}
