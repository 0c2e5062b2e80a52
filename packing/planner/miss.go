package planner

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"solander/measure"
	"solander/packing"
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

// miss is an option that breaks a rule: a wrap, the packaging tried, and the service, nil when no service
// would help.
type miss struct {
	wrap   *wrap
	chain  *choice
	lies   *tiered
	offer  *offer
	looks  int64
	reach  int
	excess measure.Length // of packaging that does not fit: by how much
	reason func() *packing.Reason
}

// further reports that a gets further than b; or as far and misses by less; or by as much and looks
// cheaper.
func (a *miss) further(b *miss) bool {
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
	k      *kit
	o      *order
	w      *wrap
	set    []int
	facts  facts
	rules  []*packing.Rule
	others []int // pieces of each item that other parcels take; nil = none
	offers []*offer

	fits  map[*item]bool   // outermost items that hold the contents
	works map[option]bool  // options that are admissible
	outer map[*item]*miss  // outermost items that do not fit
	inner *miss            // the furthest that a wrap gets before its last layer
	tried map[option]*miss // outermost item and service
}

type option struct {
	item  *item
	offer *offer // nil: the packaging itself is not allowed
}

func (k *kit) newTrial(o *order, w *wrap, set []int, others []int) *trial {
	f := o.facts(set)
	return &trial{
		k: k, o: o, w: w, set: set, facts: f, rules: k.concerned(o, set, f), others: others, offers: o.way.offers,
		fits: map[*item]bool{}, works: map[option]bool{}, outer: map[*item]*miss{}, tried: map[option]*miss{},
	}
}

// run fills the trial.
func (t *trial) run() {
	if why := t.unsuited(); why != nil {
		if chain, ok := t.complete(nil, t.facts.n); ok {
			t.inner = &miss{wrap: t.w, chain: chain, looks: t.looks(chain, nil), reach: reachCount, reason: func() *packing.Reason { return why }}
		}
		return
	}
	t.k.newFold(t.o, t.w, t.set, t.facts).run(func(c *final) {
		for _, of := range t.offers {
			if reach, _ := t.breaks(c, of); reach < 0 {
				t.works[option{c.outer, of}] = true
			}
		}
	})
	x := t.k.newFold(t.o, t.w, t.set, t.facts)
	x.miss = t.missed
	x.run(t.closed)
}

// unsuited says which of the rules before the layers the sheets break.
func (t *trial) unsuited() *packing.Reason {
	n, w := t.facts.n, t.w
	count := func(rule string, limit int, text string) *packing.Reason {
		return &packing.Reason{Rule: rule, Text: fmt.Sprintf(text, w.ID, tariff.Show(int64(limit), "sheets"), n), Got: int64(n), Limit: int64(limit), Unit: "sheets"}
	}
	switch {
	case n < w.Fewest:
		return count("wrap.fewest", w.Fewest, "%s is for at least %s; these are %d")
	case w.Most > 0 && n > w.Most:
		return count("wrap.most", w.Most, "%s is for at most %s; these are %d")
	case w.Shape == packing.Rolled && t.facts.noRoll >= 0:
		s := t.o.groups[t.facts.noRoll].first
		return &packing.Reason{Rule: "sheet.roll", Text: "sheet " + s.ID + " may not be rolled"}
	}
	return nil
}

// complete adds to a chain of so many tiers the cheapest item for every entry that it has none for yet; false
// when the shelf has none for some layer.
func (t *trial) complete(chain *choice, tiers int) (*choice, bool) {
	has := map[[2]int]bool{}
	for c := chain; c != nil; c = c.prev {
		has[[2]int{c.layer, c.group}] = true
	}
	add := func(l *layer, group, pieces int) bool {
		if pieces == 0 || has[[2]int{l.index, group}] {
			return true
		}
		if len(l.items) == 0 {
			return false
		}
		cheap := slices.MinFunc(l.items, func(a, b *item) int { return cmp.Compare(a.Cost, b.Cost) })
		chain = &choice{prev: chain, layer: l.index, group: group, item: cheap, count: pieces}
		return true
	}
	for i := range t.w.layers {
		l := &t.w.layers[i]
		for g, n := range t.set {
			if l.per == packing.PerSheet && !add(l, g, l.count*n) {
				return nil, false
			}
		}
		if l.per != packing.PerSheet && !add(l, -1, l.pieces(tiers)) {
			return nil, false
		}
	}
	return chain, true
}

// pieces is how many pieces a layer that is not per sheet takes for so many tiers.
func (l *layer) pieces(tiers int) int {
	if l.per == packing.PerGap {
		return l.count * (tiers - 1)
	}
	return l.count
}

// unpriced is the look of an option whose service has no price at all for the zone: it never looks cheaper.
const unpriced = math.MaxInt64

// looks is what an option seems to cost, by one service or by the cheapest.
func (t *trial) looks(chain *choice, of *offer) int64 {
	var mass measure.Mass
	for g, n := range t.set {
		mass += measure.Mass(n) * t.o.groups[g].leaf.Mass
	}
	sum := t.k.work(t.w, t.facts.n)
	for c := chain; c != nil; c = c.prev {
		mass += measure.Mass(c.count) * c.item.Mass
		sum += int64(c.count) * c.item.Cost
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
func (t *trial) missed(lies *tiered, chain *choice, l *layer, it *item, g gap, sized measure.Length) {
	full, ok := t.complete(chain, lies.levels(t.facts.n))
	if !ok {
		return
	}
	m := &miss{wrap: t.w, chain: full, lies: lies, looks: t.looks(full, nil), reach: reachLayer + 10*l.index + g.rank, excess: g.got - g.limit}
	m.reason = func() *packing.Reason {
		r := g.reason(l, it, sized)
		r.Text += lies.words()
		return r
	}
	if l.index == len(t.w.layers)-1 {
		if m.further(t.outer[it]) {
			t.outer[it] = m
		}
	} else if m.further(t.inner) {
		t.inner = m
	}
}

// closed is told of a parcel that closes.
func (t *trial) closed(closed *final) {
	c := new(*closed) // the reasons are asked for later
	t.fits[c.outer] = true
	if at, why := t.barred(c); why != nil {
		t.record(c, nil, reachHouse+at, func() *packing.Reason { return why })
		return
	}
	for _, of := range t.offers {
		reach, why := t.breaks(c, of)
		if reach < 0 {
			t.works[option{c.outer, of}] = true
			continue
		}
		t.record(c, of, reach, why)
	}
}

func (t *trial) record(c *final, of *offer, reach int, why func() *packing.Reason) {
	key := option{c.outer, of}
	m := &miss{wrap: t.w, chain: c.last, lies: c.lies, offer: of, looks: t.looks(c.last, of), reach: reach, reason: why}
	if m.further(t.tried[key]) {
		t.tried[key] = m
	}
}

// barred returns the first house rule in force that forbids the wrap itself.
func (t *trial) barred(c *final) (int, *packing.Reason) {
	for i, r := range t.rules {
		if !inForce(&r.When, t.w.Shape, c.mass) {
			continue
		}
		if why := forbidsWrap(r, t.o, t.facts, t.w); why != nil {
			return i, why
		}
	}
	return 0, nil
}

// breaks looks at rules 4 to 7 for a closed parcel and a service: how far it gets, or -1 when it breaks
// none.
func (t *trial) breaks(c *final, of *offer) (int, func() *packing.Reason) {
	var force []*packing.Rule
	for i, r := range t.rules {
		if !inForce(&r.When, t.w.Shape, c.mass) {
			continue
		}
		force = append(force, r)
		if why := forbidsWrap(r, t.o, t.facts, t.w); why != nil {
			return reachHouse + i, func() *packing.Reason { return why }
		}
		if why := forbidsClass(r, of.Service.Class); why != nil {
			return reachHouse + i, func() *packing.Reason { return why }
		}
	}
	p, e := t.k.parcel(c, t.facts), asks(force, t.facts.value)
	if _, ok := of.Cost(&p, e); !ok {
		return reachService + of.Reach(&p, e), func() *packing.Reason { _, why := of.Price(&p, e); return why }
	}
	if by := t.o.by(t.facts); !of.inTime(by) {
		return reachLate, func() *packing.Reason { return t.k.late(by, of) }
	}
	if why := t.short(c); why != nil {
		return reachStock, func() *packing.Reason { return why }
	}
	return -1, nil
}
