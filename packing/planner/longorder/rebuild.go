package longorder

import (
	"cmp"
	"context"
	"slices"

	"solander/measure"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
	"solander/packing/prices"
)

// A better plan by taking some parcels apart and filling new ones by prices: what a sheet is worth to be sent is
// known from the bound, so that a parcel is good when it costs little more than its sheets are worth. The prices are
// shaken a little each time, by numbers that are the same for every run.

// What bounds the work on rebuilding: parcels looked at, each counted by how many kinds of sheets it holds.
const (
	rebuildWork  = 400_000
	rebuildSlots = 14 // to fill each time
	rebuildApart = 4  // parcels taken apart at most
)

// rebuilding is the state of it.
type rebuilding struct {
	*closing
	d      *dual
	slots  []*slot
	prices []float64
	chance uint64
	work   int
}

// rebuild looks for a better plan than the best known, with prices that prove a good bound.
func (c *closing) rebuild(ctx context.Context, d *dual, prices []float64) {
	r := &rebuilding{closing: c, d: d, prices: prices, chance: 1}
	r.choose()
	now := c.incumbent.Parcels()
	for r.work < rebuildWork && ctx.Err() == nil && len(r.slots) > 0 {
		r.work += 200 // so that it ends even if no parcel is new
		next := r.apart(ctx, now)
		if next == nil {
			continue
		}
		a, b := total(next), total(now)
		if b.Less(a) {
			continue
		}
		now = next
		if a.Less(c.incumbent.Worth) {
			n := &partition.Split{}
			for _, p := range next {
				n = &partition.Split{Worth: p.Worth.Plus(n.Worth), Pick: p, Rest: n}
			}
			c.incumbent = c.improve(ctx, n, fewTries)
			now = c.incumbent.Parcels()
		}
	}
}

func total(list []*parcel.Pick) parcel.Worth {
	var w parcel.Worth
	for _, p := range list {
		w = w.Plus(p.Worth)
	}
	return w
}

// next is a number below n by a linear congruence.
func (r *rebuilding) next(n int) int {
	r.chance = r.chance*6364136223846793005 + 1442695040888963407
	return int(r.chance >> 33 % uint64(n))
}

// choose takes, of each class of templates and each kind, the slot that is best by the prices.
func (r *rebuilding) choose() {
	r.d.set(r.prices, r.incumbent.Money)
	seen := map[*ranking]*slot{}
	for _, list := range r.d.allSlots() {
		for _, s := range list {
			if seen[s.r] == nil {
				r.d.rank(s.r)
			}
			s.reckon()
			if b := seen[s.r]; b == nil || s.at.z < b.at.z {
				seen[s.r] = s
			}
		}
	}
	for _, list := range r.d.allSlots() { // in a fixed order
		for _, s := range list {
			if b := seen[s.r]; b != nil {
				r.slots = append(r.slots, b)
				delete(seen, s.r)
			}
		}
	}
	slices.SortStableFunc(r.slots, func(a, b *slot) int { return cmp.Compare(a.at.z, b.at.z) })
	r.slots = r.slots[:min(len(r.slots), 4*rebuildSlots)]
}

// apart takes some of the parcels apart and sends their sheets anew; nil when that did not succeed.
func (r *rebuilding) apart(ctx context.Context, now []*parcel.Pick) []*parcel.Pick {
	n := min(len(now), 1+r.next(rebuildApart))
	rest := make([]int, len(r.prices))
	out := slices.Clone(now)
	for range n {
		at := r.next(len(out))
		for g, k := range out[at].Set {
			rest[g] += k
		}
		out = slices.Delete(out, at, at+1)
	}
	worths := make([]float64, len(r.prices))
	for g, p := range r.prices {
		worths[g] = p * (0.8 + float64(0.4*float64(r.next(1024))/1024)) * prices.Scale
	}
	for {
		left := 0
		for _, k := range rest {
			left += k
		}
		if left == 0 {
			return out
		}
		p := r.parcel(ctx, rest, worths)
		if p == nil || len(out) > 4*len(now)+8 {
			return nil
		}
		for g, k := range p.Set {
			rest[g] -= k
		}
		out = append(out, p)
	}
}

// parcel is the parcel of some of the sheets that costs least beyond what they are worth.
func (r *rebuilding) parcel(ctx context.Context, rest []int, worths []float64) *parcel.Pick {
	var best *parcel.Pick
	low := 0.0
	look := func(set []int) {
		n, gain := 0, 0.0
		for g, k := range set {
			n += btoi(k > 0)
			gain += float64(float64(k) * worths[g])
		}
		if n == 0 {
			return
		}
		r.work += 8
		before := len(r.seen)
		p := r.picks(set)
		if len(r.seen) != before {
			r.work += 12 + n
		}
		if len(p) == 0 {
			return
		}
		if z := float64(float64(p[0].Money)*prices.Scale) - gain; best == nil || z < low {
			best, low = &p[0], z
		}
	}
	look(rest)
	for range rebuildSlots {
		if ctx.Err() != nil {
			return nil
		}
		look(r.fill(r.slots[r.next(len(r.slots))], rest, worths))
	}
	return best
}

// fill puts sheets into a slot, those first that are worth most for the room that they take.
func (r *rebuilding) fill(s *slot, rest []int, worths []float64) []int {
	c := s.r.c
	left := room{s.t.most, measure.Mass(s.free), s.t.thick, -1}
	if s.t.covered != nil && r.next(2) == 0 {
		left.value = s.valueLeft()
	}
	size := func(g int) float64 {
		n := float64(c.mass[g])/float64(max(s.free, 1)) + 1/float64(s.t.most)
		if s.t.thick > 0 {
			n += float64(c.thick[g]) / float64(s.t.thick)
		}
		return n
	}
	type offer struct {
		group int
		by    float64
	}
	var list []offer
	for g, k := range rest {
		if k > 0 && c.allowed[g] {
			list = append(list, offer{g, (worths[g] - float64(c.each[g]*prices.Scale)) / size(g)})
		}
	}
	slices.SortStableFunc(list, func(a, b offer) int { return cmp.Compare(b.by, a.by) })
	set := make([]int, len(rest))
	for _, o := range list {
		for set[o.group] < rest[o.group] && left.take(c.mass[o.group], c.thick[o.group], r.o.Groups[o.group].First.Value) {
			set[o.group]++
		}
	}
	return set
}
