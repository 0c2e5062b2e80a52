package planner

import "context"

// mostMixes bounds how many uses of scarce stock are kept side by side; beyond, the answer is not proven.
const mostMixes = 4_000

// mix is a way to send the first orders of a list, with the stock that it uses.
type mix struct {
	worth
	use  []int32
	node *node // of the last order; nil = held
	prev *mix
}

// share solves the orders whose unrestricted plans take watched items again, together; the others keep
// their plans, which nothing scarce concerns.
func (k *kit) share(ctx context.Context, relaxed []*result) []*result {
	out := append([]*result(nil), relaxed...)
	var tied []*result
	var at []int
	for i, r := range relaxed {
		if k.takesWatched(r) {
			tied, at = append(tied, r), append(at, i)
		}
	}
	choices := make([][]*node, len(tied))
	proven := true
	for i, r := range tied {
		list, ok, _ := k.alone(ctx, r.o)
		choices[i] = list
		proven = proven && ok && r.proven
	}
	ends, exact := k.mixes(choices)
	proven = proven && exact
	for i, m := len(tied)-1, ends; i >= 0; i, m = i-1, m.prev {
		out[at[i]] = k.sharedResult(ctx, tied, i, m.node, choices[i], proven)
	}
	return out
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
// when there were too many to keep all.
func (k *kit) mixes(choices [][]*node) (*mix, bool) {
	exact := true
	list := []*mix{{use: make([]int32, len(k.track))}}
	for _, splits := range choices {
		var next []*mix
		for _, m := range list {
			for _, n := range splits {
				if use, ok := k.sum(m.use, n.use); ok {
					next = betterMix(next, &mix{worth: m.worth.plus(n.worth), use: use, node: n, prev: m})
				}
			}
			next = betterMix(next, &mix{worth: m.worth.plus(worth{held: 1}), use: m.use, prev: m})
		}
		if len(next) > mostMixes {
			next, exact = thin(next), false
		}
		list = next
	}
	var b *mix
	for _, m := range list {
		if b == nil || m.worth.less(b.worth) {
			b = m
		}
	}
	return b, exact
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

// thin keeps the better half of the mixes, in their order.
func thin(list []*mix) []*mix {
	sorted := append([]*mix(nil), list...)
	sortMixes(sorted)
	limit := sorted[len(sorted)/2]
	out := list[:0]
	for _, m := range list {
		if m.worth.less(limit.worth) || m == limit {
			out = append(out, m)
		}
	}
	return out
}

func (k *kit) sharedResult(ctx context.Context, tied []*result, i int, n *node, choices []*node, proven bool) *result {
	was := tied[i]
	r := &result{o: was.o, node: n, proven: proven, bound: was.bound}
	switch {
	case n != nil && proven:
		r.bound = n.money
	case n == nil && len(choices) > 0:
		r.reason = k.shared(tied)
	case n == nil && ctx.Err() != nil:
		return k.stopped(&result{o: was.o})
	case n == nil:
		r.reason, r.sheet = k.held(was.o, nil)
	}
	return r
}
