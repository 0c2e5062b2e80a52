package planner

import (
	"cmp"
	"context"
	"slices"

	"solander/packing"
	"solander/packing/planner/explain"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
	"solander/packing/prices"
)

// mostAllocations bounds how many uses of scarce stock are kept side by side; beyond, the answer is not proven, and
// fewMixes are kept from then on.
const (
	mostAllocations = 3_000
	fewAllocations  = 120
	mostSplits      = 16
	// mostFrontWork bounds how often two allocations are compared; beyond, few are kept.
	mostFrontWork = 15_000_000
)

// allocation is a way to send the first orders of a list, with the stock that it uses.
type allocation struct {
	parcel.Worth
	use   []int32
	split *partition.Split // of the last order; nil = held
	prev  *allocation
}

// contest is the orders that want the same scarce packaging, by place.
type contest struct {
	k       *solver
	tied    []*result            // as if there were packaging enough
	choices [][]*partition.Split // the splits that may matter
	all     []bool               // whether these are all that may
	able    []parcel.Members     // those that can be sent with the stock there is
	rest    []int64              // what is sent costs at least
	proven  bool                 // the best allocation is known
	taken   []int                // of each item, by all that go
}

// share solves the orders whose unrestricted plans take watched items again, together; the others keep
// their plans, which nothing scarce concerns. It also returns by how much the bound of all orders together is
// above the sum of their own.
func (k *solver) share(ctx context.Context, relaxed []*result) (out []*result, above int64) {
	out = append([]*result(nil), relaxed...)
	c := &contest{k: k}
	var at []int
	for i, r := range relaxed {
		if k.takesWatched(r) {
			c.tied, at = append(c.tied, r), append(at, i)
		}
	}
	c.choose(ctx)
	most := make([]parcel.Members, len(c.tied))
	for i, r := range c.tied {
		most[i] = partition.Sent(r.o, partition.Best(c.choices[i]))
	}
	lambda, _ := c.lagrange(ctx, c.sending(most), func(int) bool { return true })
	last, exact := c.allocate(ctx, lambda)
	c.proven = exact && !slices.Contains(c.all, false)
	nodes := make([]*partition.Split, len(c.tied))
	var goes []*result
	for i, m := len(c.tied)-1, last; i >= 0; i, m = i-1, m.prev {
		nodes[i] = m.split
		goes = append(goes, &result{o: c.tied[i].o, split: m.split})
	}
	c.taken = k.used(goes)
	sent, own := make([]parcel.Members, len(c.tied)), int64(0)
	for i, n := range nodes {
		out[at[i]] = c.result(ctx, i, n)
		if sent[i] = partition.Sent(c.tied[i].o, n); sent[i] != 0 {
			c.rest[i] = out[at[i]].bound
			own += c.rest[i]
		}
	}
	if !c.proven {
		_, bound := c.lagrange(ctx, c.sending(sent), func(i int) bool { return sent[i] != 0 })
		above = max(0, bound-own)
	}
	return out, above
}

// choose solves each of the orders with the stock to itself.
func (c *contest) choose(ctx context.Context) {
	n := len(c.tied)
	c.choices, c.all, c.able, c.rest = make([][]*partition.Split, n), make([]bool, n), make([]parcel.Members, n), make([]int64, n)
	for i, r := range c.tied {
		c.k.meter.expect(c.k.steps(r.o))
		c.rest[i] = r.bound
	}
	partition.Each(context.WithoutCancel(ctx), n, nil, func(i int) {
		splits, ok, t := c.k.alone(ctx, c.tied[i].o)
		if ok {
			c.able[i] = t.Able
		}
		c.all[i] = ok && c.tied[i].proven
		if !ok && len(splits) == 0 {
			splits = c.k.counted(c.tied[i])
		}
		c.choices[i] = splits
	})
}

// counted returns the split of a result with its use of watched items, unless it takes more than there is.
func (k *solver) counted(r *result) []*partition.Split {
	out := *r.split
	out.Use = make([]int32, len(k.Track))
	used := k.used([]*result{r})
	for i, it := range k.Track {
		if used[it.Index] > *it.Stock {
			return nil
		}
		out.Use[i] = int32(used[it.Index])
	}
	return []*partition.Split{&out}
}

func (k *solver) takesWatched(r *result) bool {
	used := k.used([]*result{r})
	return slices.ContainsFunc(k.Track, func(it *means.Item) bool { return used[it.Index] > 0 })
}

// allocate combines the splits of all orders, each of which may also be held, and returns the best allocation; false when
// there were too many to look at all. At first only those are kept that are best with lambda paid for what they take;
// if that left any out, all are looked at that may be better than what was found then.
func (c *contest) allocate(ctx context.Context, lambda []int64) (*allocation, bool) {
	s := &front{contest: c, lambda: lambda, most: fewAllocations}
	found := s.every(ctx)
	if !s.cut || ctx.Err() != nil {
		return found, !s.cut
	}
	found = s.repair(ctx, found)
	s = &front{contest: c, lambda: lambda, most: mostAllocations, completion: c.newCompletion(lambda, found.Worth)}
	better := s.every(ctx)
	if better == nil || found.Worth.Less(better.Worth) {
		better = found
	}
	return better, !s.cut
}

// every goes through the orders; nil when nothing is left that may be better than what is known.
func (s *front) every(ctx context.Context) *allocation {
	list := []*allocation{{use: make([]int32, len(s.k.Track))}}
	for i, splits := range s.choices {
		if ctx.Err() != nil {
			s.most = 1
		}
		s.at = i + 1
		if list = s.with(list, splits, len(s.tied[i].o.Members)); len(list) == 0 {
			return nil
		}
	}
	return slices.MinFunc(list, func(a, b *allocation) int { return a.Worth.Compare(b.Worth) })
}

// front is the Pareto front of allocations, over worth and the stock that they use: most sinks when there is too much
// to keep.
type front struct {
	*contest
	lambda     []int64
	most       int
	cut        bool        // something was left out that may be part of the best allocation
	completion *completion // what may be better than the best allocation known; nil = anything
	at         int         // orders that an allocation holds now
	work       int
}

// with adds an order, or so many planned together, to every allocation, the best for each use of the stock; then what
// another dominates is left out.
func (s *front) with(list []*allocation, splits []*partition.Split, orders int) []*allocation {
	if s.most < mostAllocations {
		list, splits = s.thin(list), s.fewSplits(splits)
	}
	next, known := []*allocation{}, map[string]int{}
	put := func(m *allocation) {
		if s.completion.hopeless(m, s.at) {
			return
		}
		key := keyOf(m.use)
		if at, ok := known[key]; !ok {
			known[key] = len(next)
			next = append(next, m)
		} else if m.Worth.Less(next[at].Worth) {
			next[at] = m
		}
	}
	for _, m := range list {
		for _, n := range splits {
			if use, ok := partition.Sum(s.k.Kit, m.use, n.Use); ok {
				put(&allocation{Worth: m.Worth.Plus(n.Worth), use: use, split: n, prev: m})
			}
		}
		put(&allocation{Worth: m.Worth.Plus(parcel.Worth{Held: orders}), use: m.use, prev: m})
	}
	if len(next) > 2*mostAllocations || s.work > mostFrontWork {
		s.most = min(s.most, fewAllocations)
	}
	if s.most < mostAllocations {
		next = s.thin(next)
	}
	slices.SortStableFunc(next, func(a, b *allocation) int { return a.Worth.Compare(b.Worth) })
	var out []*allocation
	for _, m := range next {
		s.work += len(out)
		if !slices.ContainsFunc(out, func(b *allocation) bool { return parcel.NoMore(b.use, m.use) }) {
			out = append(out, m)
		}
	}
	if len(out) > s.most {
		s.most = min(s.most, fewAllocations)
		out = s.thin(out)
	}
	return out
}

func keyOf(use []int32) string {
	key := make([]byte, 0, 4*len(use))
	for _, n := range use {
		key = append(key, byte(n), byte(n>>8), byte(n>>16), byte(n>>24))
	}
	return string(key)
}

// thin keeps the best of the allocations.
func (s *front) thin(list []*allocation) []*allocation {
	if len(list) <= s.most {
		return list
	}
	slices.SortStableFunc(list, func(a, b *allocation) int {
		return cmp.Or(cmp.Compare(a.Held, b.Held), cmp.Compare(a.Money*prices.Scale+dot(s.lambda, a.use), b.Money*prices.Scale+dot(s.lambda, b.use)), a.Worth.Compare(b.Worth))
	})
	s.cut = true
	return list[:s.most]
}

// fewSplits keeps the best of an order's splits.
func (s *front) fewSplits(splits []*partition.Split) []*partition.Split {
	list := slices.Clone(splits)
	slices.SortStableFunc(list, func(a, b *partition.Split) int {
		return cmp.Or(cmp.Compare(a.Held, b.Held), cmp.Compare(a.Money*prices.Scale+dot(s.lambda, a.Use), b.Money*prices.Scale+dot(s.lambda, b.Use)), a.Worth.Compare(b.Worth))
	})
	s.cut = s.cut || len(list) > mostSplits
	return list[:min(len(list), mostSplits)]
}

// result is what became of the i-th of the orders, of which n is sent.
func (c *contest) result(ctx context.Context, i int, n *partition.Split) *result {
	was := c.tied[i]
	o, sent := was.o, partition.Sent(was.o, n)
	r := &result{o: o, split: n, proven: c.proven, able: c.able[i], bound: was.bound}
	switch {
	case c.proven && n != nil:
		r.bound = n.Money
	case sent != 0 && sent != partition.Sent(o, was.split):
		r.bound = partition.LeastCost(c.k.Kit, o.Only(sent))
	}
	switch {
	case !c.proven && ctx.Err() != nil:
		return r.hold(because(stopped))
	case !c.proven:
		return r.hold(because(&packing.Reason{Rule: "plan.unfound", Text: "no way to send this order was found with the packaging that the others leave, but not every way was looked at"}))
	}
	return r.hold(func(m int) explain.Hold {
		if was.held[m].Reason != nil {
			return was.held[m] // even with packaging enough
		}
		return explain.Hold{Reason: c.scarce(i, m)}
	})
}

// sending leaves of the splits of orders planned together those that send just these members.
func (c *contest) sending(which []parcel.Members) [][]*partition.Split {
	out := slices.Clone(c.choices)
	for i, r := range c.tied {
		if len(r.o.Members) > 1 {
			out[i] = slices.DeleteFunc(slices.Clone(c.choices[i]), func(n *partition.Split) bool { return partition.Sent(r.o, n) != which[i] })
		}
	}
	return out
}
