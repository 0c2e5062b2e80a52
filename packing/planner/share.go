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
	mostMixes = 4_000
	fewMixes  = 400
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
	most := mostMixes
	list := []*mix{{use: make([]int32, len(k.track))}}
	for _, splits := range choices {
		if ctx.Err() != nil {
			most = 1
		}
		if len(list) > most {
			most = min(most, fewMixes)
			list = thin(list, lambda, most)
		}
		var next []*mix
		for _, m := range list {
			for _, n := range splits {
				if use, ok := k.sum(m.use, n.use); ok {
					next = betterMix(next, &mix{worth: m.worth.plus(n.worth), use: use, node: n, prev: m})
				}
			}
			next = betterMix(next, &mix{worth: m.worth.plus(worth{held: 1}), use: m.use, prev: m})
		}
		list = next
	}
	var b *mix
	for _, m := range list {
		if b == nil || m.worth.less(b.worth) {
			b = m
		}
	}
	return b, most == mostMixes
}

func betterMix(list []*mix, m *mix) []*mix {
	for _, b := range list {
		if !m.worth.less(b.worth) && noMore(b.use, m.use) {
			return list
		}
	}
	out := list[:0]
	for _, b := range list {
		if b.worth.less(m.worth) || !noMore(m.use, b.use) {
			out = append(out, b)
		}
	}
	return append(out, m)
}

// thin keeps the best of the mixes, in their order.
func thin(list []*mix, lambda []int64, most int) []*mix {
	price := func(m *mix) int64 { return m.money*scale + dot(lambda, m.use) }
	sorted := append([]*mix(nil), list...)
	slices.SortStableFunc(sorted, func(a, b *mix) int {
		return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(price(a), price(b)), cmp.Compare(a.parcels, b.parcels), cmp.Compare(a.days, b.days))
	})
	kept := map[*mix]bool{}
	for _, m := range sorted[:most] {
		kept[m] = true
	}
	return slices.DeleteFunc(list, func(m *mix) bool { return !kept[m] })
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
		r.reason = k.shared(tied)
	case n == nil && ctx.Err() != nil:
		return k.stopped(&result{o: was.o})
	case n == nil:
		r.reason, r.sheet = k.held(was.o, nil)
	}
	return r
}
