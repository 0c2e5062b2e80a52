package planner

import (
	"cmp"
	"context"
	"slices"

	"solander/packing"
)

// mostMixes bounds how many uses of scarce stock are kept side by side; beyond, the answer is not proven, and
// fewMixes are kept from then on.
const (
	mostMixes  = 3_000
	fewMixes   = 120
	mostSplits = 16
	// mostMixWork bounds how often two mixes are compared; beyond, few are kept.
	mostMixWork = 15_000_000
)

// mix is a way to send the first orders of a list, with the stock that it uses.
type mix struct {
	worth
	use  []int32
	node *node // of the last order; nil = held
	prev *mix
}

// contest is the orders that want the same scarce packaging, by place.
type contest struct {
	k       *solver
	tied    []*result // as if there were packaging enough
	choices [][]*node // the splits that may matter
	all     []bool    // whether these are all that may
	able    []members // those that can be sent with the stock there is
	rest    []int64   // what is sent costs at least
	proven  bool      // the best allocation is known
	taken   []int     // of each item, by all that go
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
	most := make([]members, len(c.tied))
	for i, r := range c.tied {
		most[i] = r.o.sent(best(c.choices[i]))
	}
	lambda, _ := c.lagrange(ctx, c.sending(most), func(int) bool { return true })
	last, exact := c.mixes(ctx, lambda)
	c.proven = exact && !slices.Contains(c.all, false)
	nodes := make([]*node, len(c.tied))
	var goes []*result
	for i, m := len(c.tied)-1, last; i >= 0; i, m = i-1, m.prev {
		nodes[i] = m.node
		goes = append(goes, &result{o: c.tied[i].o, node: m.node})
	}
	c.taken = k.used(goes)
	sent, own := make([]members, len(c.tied)), int64(0)
	for i, n := range nodes {
		out[at[i]] = c.result(ctx, i, n)
		if sent[i] = c.tied[i].o.sent(n); sent[i] != 0 {
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
	c.choices, c.all, c.able, c.rest = make([][]*node, n), make([]bool, n), make([]members, n), make([]int64, n)
	for i, r := range c.tied {
		c.k.meter.expect(c.k.steps(r.o))
		c.rest[i] = r.bound
	}
	each(context.WithoutCancel(ctx), n, nil, func(i int) {
		splits, ok, t := c.k.alone(ctx, c.tied[i].o)
		if ok {
			c.able[i] = t.able
		}
		c.all[i] = ok && c.tied[i].proven
		if !ok && len(splits) == 0 {
			splits = c.k.counted(c.tied[i].node)
		}
		c.choices[i] = splits
	})
}

// counted returns a split with its use of watched items, unless it takes more than there is.
func (k *solver) counted(n *node) []*node {
	out := *n
	out.use = make([]int32, len(k.track))
	for _, p := range n.parcels() {
		for c := p.final.last; c != nil; c = c.prev {
			if at := c.item.track; at >= 0 {
				if out.use[at] += int32(c.count); int(out.use[at]) > *c.item.Stock {
					return nil
				}
			}
		}
	}
	return []*node{&out}
}

func (k *solver) takesWatched(r *result) bool {
	for _, p := range r.node.parcels() {
		for c := p.final.last; c != nil; c = c.prev {
			if c.item.track >= 0 {
				return true
			}
		}
	}
	return false
}

// mixes combines the splits of all orders, each of which may also be held, and returns the best mix; false when
// there were too many to look at all. At first only those are kept that are best with lambda paid for what they take;
// if that left any out, all are looked at that may be better than what was found then.
func (c *contest) mixes(ctx context.Context, lambda []int64) (*mix, bool) {
	s := &sharing{contest: c, lambda: lambda, most: fewMixes}
	found := s.every(ctx)
	if !s.cut || ctx.Err() != nil {
		return found, !s.cut
	}
	found = s.repair(ctx, found)
	s = &sharing{contest: c, lambda: lambda, most: mostMixes, floor: c.newFloor(lambda, found.worth)}
	better := s.every(ctx)
	if better == nil || found.worth.less(better.worth) {
		better = found
	}
	return better, !s.cut
}

// every goes through the orders; nil when nothing is left that may be better than what is known.
func (s *sharing) every(ctx context.Context) *mix {
	list := []*mix{{use: make([]int32, len(s.k.track))}}
	for i, splits := range s.choices {
		if ctx.Err() != nil {
			s.most = 1
		}
		s.at = i + 1
		if list = s.with(list, splits, len(s.tied[i].o.members)); len(list) == 0 {
			return nil
		}
	}
	return slices.MinFunc(list, func(a, b *mix) int { return a.worth.compare(b.worth) })
}

// sharing is the state of mixes: most sinks when there is too much to keep.
type sharing struct {
	*contest
	lambda []int64
	most   int
	cut    bool   // something was left out that may be part of the best mix
	floor  *floor // what may be better than the best mix known; nil = anything
	at     int    // orders that a mix holds now
	work   int
}

// with adds an order, or so many planned together, to every mix, the best for each use of the stock; then what another beats is left out.
func (s *sharing) with(list []*mix, splits []*node, orders int) []*mix {
	if s.most < mostMixes {
		list, splits = s.thin(list), s.fewSplits(splits)
	}
	next, known := []*mix{}, map[string]int{}
	put := func(m *mix) {
		if s.floor.hopeless(m, s.at) {
			return
		}
		key := keyOf(m.use)
		if at, ok := known[key]; !ok {
			known[key] = len(next)
			next = append(next, m)
		} else if m.worth.less(next[at].worth) {
			next[at] = m
		}
	}
	for _, m := range list {
		for _, n := range splits {
			if use, ok := s.k.sum(m.use, n.use); ok {
				put(&mix{worth: m.worth.plus(n.worth), use: use, node: n, prev: m})
			}
		}
		put(&mix{worth: m.worth.plus(worth{held: orders}), use: m.use, prev: m})
	}
	if len(next) > 2*mostMixes || s.work > mostMixWork {
		s.most = min(s.most, fewMixes)
	}
	if s.most < mostMixes {
		next = s.thin(next)
	}
	slices.SortStableFunc(next, func(a, b *mix) int { return a.worth.compare(b.worth) })
	var out []*mix
	for _, m := range next {
		s.work += len(out)
		if !slices.ContainsFunc(out, func(b *mix) bool { return noMore(b.use, m.use) }) {
			out = append(out, m)
		}
	}
	if len(out) > s.most {
		s.most = min(s.most, fewMixes)
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

// thin keeps the best of the mixes.
func (s *sharing) thin(list []*mix) []*mix {
	if len(list) <= s.most {
		return list
	}
	slices.SortStableFunc(list, func(a, b *mix) int {
		return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.money*scale+dot(s.lambda, a.use), b.money*scale+dot(s.lambda, b.use)), a.worth.compare(b.worth))
	})
	s.cut = true
	return list[:s.most]
}

// fewSplits keeps the best of an order's splits.
func (s *sharing) fewSplits(splits []*node) []*node {
	list := slices.Clone(splits)
	slices.SortStableFunc(list, func(a, b *node) int {
		return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.money*scale+dot(s.lambda, a.use), b.money*scale+dot(s.lambda, b.use)), a.worth.compare(b.worth))
	})
	s.cut = s.cut || len(list) > mostSplits
	return list[:min(len(list), mostSplits)]
}

// result is what became of the i-th of the orders, of which n is sent.
func (c *contest) result(ctx context.Context, i int, n *node) *result {
	was := c.tied[i]
	o, sent := was.o, was.o.sent(n)
	r := &result{o: o, node: n, proven: c.proven, able: c.able[i], bound: was.bound}
	switch {
	case c.proven && n != nil:
		r.bound = n.money
	case sent != 0 && sent != o.sent(was.node):
		r.bound = c.k.leastCost(o.only(sent))
	}
	switch {
	case !c.proven && ctx.Err() != nil:
		return r.hold(because(stopped))
	case !c.proven:
		return r.hold(because(&packing.Reason{Rule: "plan.unfound", Text: "no way to send this order was found with the packaging that the others leave, but not every way was looked at"}))
	}
	return r.hold(func(m int) hold {
		if was.held[m].reason != nil {
			return was.held[m] // even with packaging enough
		}
		return hold{reason: c.scarce(i, m)}
	})
}

// sending leaves of the splits of orders planned together those that send just these members.
func (c *contest) sending(which []members) [][]*node {
	out := slices.Clone(c.choices)
	for i, r := range c.tied {
		if len(r.o.members) > 1 {
			out[i] = slices.DeleteFunc(slices.Clone(c.choices[i]), func(n *node) bool { return r.o.sent(n) != which[i] })
		}
	}
	return out
}
