package longorder

import (
	"cmp"
	"context"
	"slices"

	"solander/measure"
	"solander/packing/prices"
	"solander/tariff"
)

// A node whose parcels all have their slot is divided further: by the steps of cover, then by sheets, each of
// which goes into a slot or does not. Where every sheet has its slot, the parcels themselves are known.

// settle raises the bound of such a node as far as it goes, and puts its parts in its place.
func (x *branching) settle(ctx context.Context, m *node) {
	if x.cramped(m) {
		return
	}
	var share [][]float64
	for range branchRounds {
		was := m.low
		share = x.subgradient(ctx, m, 2*branchSteps)
		if x.pruned(m.low, m) || ctx.Err() != nil {
			break
		}
		if m.low-was < prices.Scale {
			break
		}
	}
	if x.pruned(m.low, m) {
		return
	}
	if m.sheets == 0 {
		x.round(m, share)
		if x.pruned(m.low, m) {
			return
		}
	}
	x.look(m, m.prices)
	if !x.byCover(m) && !x.bySheet(m, share) {
		x.last(m)
	}
}

// byCover divides a node by the step of cover that a slot buys.
func (x *branching) byCover(m *node) bool {
	for i, s := range m.slots {
		if s.from == s.to {
			continue
		}
		low, high := *s, *s
		low.to, high.from = s.step, s.step+1
		if s.step == s.to {
			low.to, high.from = s.step-1, s.step
		}
		for _, part := range []*slot{&low, &high} {
			x.push(m.with(i, part))
		}
		return true
	}
	return false
}

// with is the node with another slot in a place.
func (m *node) with(i int, s *slot) *node {
	c := *m
	c.slots = slices.Clone(m.slots)
	c.slots[i] = s
	return &c
}

// bySheet divides a node by the sheet whose slot is least clear: of the sheets that are there once and may still
// go into several slots.
func (x *branching) bySheet(m *node, share [][]float64) bool {
	group, at, most := -1, 0, -1.0
	for g, n := range x.d.o.Counts {
		if n != 1 {
			continue
		}
		slots, top, first := 0, 0.0, 0
		for i, s := range m.slots {
			if s.r.c.allowed[g] {
				if slots++; share != nil && share[i][g] > top || slots == 1 {
					top, first = share[i][g], i
				}
			}
		}
		if slots < 2 {
			continue
		}
		// Heavy sheets matter most.
		if doubt := (1.05 - top) * float64(x.d.o.Groups[g].Leaf.Mass); doubt > most {
			group, at, most = g, first, doubt
		}
	}
	if group < 0 {
		return false
	}
	out := m.with(at, m.slots[at].without(x.d, group))
	in := *m
	in.slots = slices.Clone(m.slots)
	for i, s := range m.slots {
		if i != at && s.r.c.allowed[group] {
			in.slots[i] = s.without(x.d, group)
		}
	}
	in.sheets++
	out.sheets++
	x.push(&in)
	x.push(out)
	return true
}

// without is the slot without a group of sheets.
func (s *slot) without(d *dual, group int) *slot {
	c := *s.r.c
	c.allowed = slices.Clone(c.allowed)
	c.allowed[group] = false
	out := *s
	out.r = d.newRanking(&c)
	out.r.thick, out.r.count = s.r.thick, s.r.count
	for cover := range s.r.covers {
		out.r.cover(d, cover)
	}
	return &out
}

// last prices a node that cannot be divided: where each sheet has but one slot its parcels are known.
func (x *branching) last(m *node) {
	sets := make([][]int, len(m.slots))
	for i := range sets {
		sets[i] = make([]int, len(x.d.price))
	}
	for g, n := range x.d.o.Counts {
		if n == 0 {
			continue
		}
		into := -1
		for i, s := range m.slots {
			if s.r.c.allowed[g] {
				if into >= 0 { // of a sheet that is there several times
					x.done = min(x.done, m.low)
					return
				}
				into = i
			}
		}
		if into < 0 {
			return // a sheet has no slot: there is no such plan
		}
		sets[into][g] = n
	}
	if x.try == nil {
		x.done = min(x.done, m.low)
		return
	}
	x.tryOut(sets)
	// Such a plan is known now, or there is none.
}

// tryOut has a plan tried.
func (x *branching) tryOut(sets [][]int) {
	sets = slices.DeleteFunc(sets, func(set []int) bool { return !slices.ContainsFunc(set, func(n int) bool { return n > 0 }) })
	x.work += 2000 * len(sets)
	x.incumbent = x.try(sets)
	x.top = x.incumbent.Money
}

// cramped reports that some sheets, which may go into some of the slots alone, are too many, too heavy or too thick
// for these together.
func (x *branching) cramped(m *node) bool {
	o := x.d.o
	seen := map[uint64]bool{}
	places := make([]uint64, len(o.Counts))
	for g, n := range o.Counts {
		if n == 0 {
			continue
		}
		for i, s := range m.slots {
			if s.r.c.allowed[g] {
				places[g] |= 1 << (i & 63)
			}
		}
		if places[g] == 0 {
			return true
		}
	}
	if len(m.slots) > 64 {
		return false
	}
	for _, p := range places {
		if p == 0 || seen[p] {
			continue
		}
		seen[p] = true
		copies, mass, thick := 0, int64(0), int64(0)
		for g, n := range o.Counts {
			if n > 0 && places[g]&^p == 0 {
				each, leaf := m.lightest(g)
				copies, mass, thick = copies+n, mass+int64(n)*each, thick+int64(n)*leaf
			}
		}
		room, free, deep := 0, int64(0), int64(0)
		for i, s := range m.slots {
			if p>>i&1 == 0 {
				continue
			}
			room, free = room+s.t.most, free+s.free
			if s.t.thick < 0 {
				deep = 1 << 60
			}
			deep = min(deep+int64(max(s.t.thick, 0)), 1<<60)
		}
		if copies > room || mass > free || thick > deep {
			return true
		}
	}
	return false
}

// lightest is the least mass and thickness that a copy of a group adds in any of the slots.
func (m *node) lightest(g int) (mass, thick int64) {
	mass, thick = 1<<62, 1<<62
	for _, s := range m.slots {
		if c := s.r.c; c.allowed[g] {
			mass, thick = min(mass, max(int64(c.mass[g]), 0)), min(thick, max(int64(c.thick[g]), 0))
		}
	}
	return mass, thick
}

// round puts every sheet where it is most of the time, if it fits, and has that plan tried.
func (x *branching) round(m *node, share [][]float64) {
	if x.try == nil || share == nil {
		return
	}
	o := x.d.o
	sets := make([][]int, len(m.slots))
	left := make([]room, len(m.slots))
	for i, s := range m.slots {
		sets[i] = make([]int, len(o.Counts))
		left[i] = room{s.t.most, measure.Mass(s.free), s.t.thick, s.valueLeft()}
	}
	type wish struct {
		group, slot int
		share       float64
	}
	var wishes []wish
	for g := range o.Counts {
		for i, s := range m.slots {
			if s.r.c.allowed[g] {
				wishes = append(wishes, wish{g, i, share[i][g]})
			}
		}
	}
	slices.SortStableFunc(wishes, func(a, b wish) int { return cmp.Compare(b.share, a.share) })
	rest := slices.Clone(o.Counts)
	for _, whole := range []bool{true, false} {
		for _, w := range wishes {
			c := m.slots[w.slot].r.c
			for rest[w.group] > 0 && (!whole || float64(sets[w.slot][w.group]) < w.share-0.5) &&
				left[w.slot].take(c.mass[w.group], c.thick[w.group], o.Groups[w.group].First.Value) {
				sets[w.slot][w.group]++
				rest[w.group]--
			}
		}
	}
	for g, n := range rest {
		if n > 0 {
			for i, s := range m.slots { // it does not fit by the slots, but the parcel may be sent some other way
				if s.r.c.allowed[g] {
					sets[i][g] += n
					break
				}
			}
		}
	}
	x.tryOut(sets)
}

// room is what goes into a slot yet; thick and value below 0: any.
type room struct {
	copies int
	mass   measure.Mass
	thick  measure.Length
	value  int64
}

func (r *room) take(mass measure.Mass, thick measure.Length, value int64) bool {
	if r.copies < 1 || mass > r.mass || r.thick >= 0 && thick > r.thick || r.value >= 0 && value > r.value {
		return false
	}
	r.copies--
	r.mass -= mass
	if r.thick >= 0 {
		r.thick -= thick
	}
	if r.value >= 0 {
		r.value -= value
	}
	return true
}

// valueLeft is the value that the slot's cover serves; -1 when nothing is covered.
func (s *slot) valueLeft() int64 {
	if s.t.covered == nil {
		return -1
	}
	return s.r.covers[s.t.covered].steps[s.to].value
}

// cover makes the steps of a table ready.
func (r *ranking) cover(d *dual, table *tariff.Cover) {
	if table != nil && r.covers[table] == nil {
		r.covers[table] = &insured{
			steps: coverSteps(table, d.o.Value),
			value: r.knapsack(func(g int) int64 { return d.o.Groups[g].First.Value }),
		}
		r.covers[table].net = newNet(d, r, r.covers[table].steps)
	}
}
