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
)

// mix is a way to send the first orders of a list, with the stock that it uses.
type mix struct {
	worth
	use  []int32
	node *node // of the last order; nil = held
	prev *mix
}

// share solves the orders whose unrestricted plans take watched items again, together; the others keep
// their plans, which nothing scarce concerns. It also returns by how much the bound of all orders together is
// above the sum of their own.
func (k *kit) share(ctx context.Context, relaxed []*result) (out []*result, above int64) {
	out = append([]*result(nil), relaxed...)
	var tied []*result
	var at []int
	for i, r := range relaxed {
		if k.takesWatched(r) {
			tied, at = append(tied, r), append(at, i)
		}
	}
	choices, all := make([][]*node, len(tied)), make([]bool, len(tied))
	for _, r := range tied {
		k.meter.expect(k.steps(r.o))
	}
	k.each(context.WithoutCancel(ctx), len(tied), nil, func(i int) {
		var ok bool
		choices[i], ok, _ = k.alone(ctx, tied[i].o)
		all[i] = ok && tied[i].proven
		if !ok && len(choices[i]) == 0 {
			choices[i] = k.counted(tied[i].node)
		}
	})
	rest := make([]int64, len(tied))
	for i, r := range tied {
		rest[i] = r.bound
	}
	lambda, _ := k.lagrange(choices, all, rest, func(int) bool { return true })
	ends, exact := k.mixes(ctx, choices, lambda)
	proven := exact && !slices.Contains(all, false)
	sent := make([]bool, len(tied))
	own := int64(0)
	for i, m := len(tied)-1, ends; i >= 0; i, m = i-1, m.prev {
		out[at[i]] = k.sharedResult(ctx, tied, i, m.node, choices[i], proven)
		if sent[i] = m.node != nil; sent[i] {
			own += out[at[i]].bound
		}
	}
	if !proven {
		_, bound := k.lagrange(choices, all, rest, func(i int) bool { return sent[i] })
		above = max(0, bound-own)
	}
	return out, above
}

// counted returns a split with its use of watched items, unless it takes more than there is.
func (k *kit) counted(n *node) []*node {
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

func (k *kit) takesWatched(r *result) bool {
	for _, p := range r.node.parcels() {
		for c := p.final.last; c != nil; c = c.prev {
			if c.item.track >= 0 {
				return true
			}
		}
	}
	return false
}

// mixes combines the splits of all orders, each of which may also be held, and returns the best mix; false
// when there were too many to keep all: those are kept then that are best with lambda paid for what they take.
func (k *kit) mixes(ctx context.Context, choices [][]*node, lambda []int64) (*mix, bool) {
	s := &sharing{k: k, lambda: lambda, most: mostMixes}
	list := []*mix{{use: make([]int32, len(k.track))}}
	for _, splits := range choices {
		if ctx.Err() != nil {
			s.most = 1
		}
		list = s.with(list, splits)
	}
	return slices.MinFunc(list, func(a, b *mix) int { return a.worth.compare(b.worth) }), s.most == mostMixes
}

// sharing is the state of mixes: most sinks when there is too much to keep.
type sharing struct {
	k      *kit
	lambda []int64
	most   int
}

// with adds an order to every mix, the best for each use of the stock; then what another beats is left out.
func (s *sharing) with(list []*mix, splits []*node) []*mix {
	if s.most < mostMixes {
		list, splits = s.thin(list), s.fewSplits(splits)
	}
	next, known := []*mix{}, map[string]int{}
	put := func(m *mix) {
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
		put(&mix{worth: m.worth.plus(worth{held: 1}), use: m.use, prev: m})
	}
	slices.SortStableFunc(next, func(a, b *mix) int { return a.worth.compare(b.worth) })
	if len(next) > 2*mostMixes {
		s.most = min(s.most, fewMixes)
		next = s.thin(next)
	}
	var out []*mix
	for _, m := range next {
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

func (a worth) compare(b worth) int {
	return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.money, b.money), cmp.Compare(a.parcels, b.parcels), cmp.Compare(a.days, b.days))
}

// thin keeps the best of the mixes.
func (s *sharing) thin(list []*mix) []*mix {
	if len(list) <= s.most {
		return list
	}
	slices.SortStableFunc(list, func(a, b *mix) int {
		return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.money*scale+dot(s.lambda, a.use), b.money*scale+dot(s.lambda, b.use)), a.worth.compare(b.worth))
	})
	return list[:s.most]
}

// fewSplits keeps the best of an order's splits.
func (s *sharing) fewSplits(splits []*node) []*node {
	list := slices.Clone(splits)
	slices.SortStableFunc(list, func(a, b *node) int {
		return cmp.Or(cmp.Compare(a.money*scale+dot(s.lambda, a.use), b.money*scale+dot(s.lambda, b.use)), a.worth.compare(b.worth))
	})
	return list[:min(len(list), mostSplits)]
}

func (k *kit) sharedResult(ctx context.Context, tied []*result, i int, n *node, choices []*node, proven bool) *result {
	was := tied[i]
	r := &result{o: was.o, node: n, proven: proven, bound: was.bound}
	switch {
	case n != nil && proven:
		r.bound = n.money
	case n == nil && !proven && ctx.Err() == nil:
		r.reason = &packing.Reason{Rule: "plan.unfound", Text: "no way to send this order was found with the packaging that the others leave, but not every way was looked at"}
	case n == nil && len(choices) > 0 && proven:
		r.reason = k.scarce(tied, was)
	case n == nil && ctx.Err() != nil:
		return k.stopped(&result{o: was.o})
	case n == nil:
		r.reason = k.outruns(was)
	}
	return r
}
