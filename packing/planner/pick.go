package planner

import (
	"cmp"
	"slices"

	"solander/packing"
	"solander/tariff"
)

// worth is what is minimised, in the order of its fields.
type worth struct {
	held    int
	money   int64
	parcels int
	days    int
}

func (a worth) plus(b worth) worth {
	return worth{a.held + b.held, a.money + b.money, a.parcels + b.parcels, a.days + b.days}
}

func (a worth) less(b worth) bool {
	switch {
	case a.held != b.held:
		return a.held < b.held
	case a.money != b.money:
		return a.money < b.money
	case a.parcels != b.parcels:
		return a.parcels < b.parcels
	}
	return a.days < b.days
}

// pick is one admissible parcel for a set of sheets.
type pick struct {
	worth
	set    []int
	use    []int32
	wrap   *wrap
	final  final
	offer  *offer
	extras tariff.Extras
}

// picks returns the best parcel for a set of an order's sheets; when stock is watched, the best for each
// use of it that nothing else beats. None when the set cannot go as one parcel.
func (k *kit) picks(o *order, set []int) []pick {
	f := o.facts(set)
	rules := k.concerned(o, set, f)
	var out []pick
	for _, w := range k.wraps {
		if !suits(w, f) {
			continue
		}
		out = k.picksBy(o, set, f, rules, w, out)
	}
	return out
}

// suits reports whether the number of sheets and the sheets' leave to be rolled suit a wrap.
func suits(w *wrap, f facts) bool {
	if f.n < w.Fewest || w.Most > 0 && f.n > w.Most {
		return false
	}
	return w.Shape == packing.Flat || f.noRoll < 0
}

func (k *kit) picksBy(o *order, set []int, f facts, rules []*packing.Rule, w *wrap, out []pick) []pick {
	weighed := slices.ContainsFunc(rules, func(r *packing.Rule) bool { return weighs(&r.When) })
	d := demand{}
	if !weighed {
		if d = o.demands(rules, f, w, 0); d.barred || len(d.offers) == 0 {
			return out
		}
	}
	work := k.work(w, f.n)
	k.newFold(o, w, set, f).run(func(c *final) {
		if weighed {
			d = o.demands(rules, f, w, c.mass)
		}
		p := k.parcel(c, f)
		base := c.cost + work
		for _, of := range d.offers {
			if len(k.track) == 0 && len(out) > 0 && base+of.low > out[0].money {
				continue
			}
			postage, ok := of.Cost(&p, d.extras)
			if !ok {
				continue
			}
			out = better(out, pick{worth: worth{0, base + postage, 1, of.days}, set: set, use: c.use, wrap: w, final: *c, offer: of, extras: d.extras})
		}
	})
	return out
}

func (k *kit) parcel(c *final, f facts) tariff.Parcel {
	return tariff.Parcel{Size: c.size, Form: c.form, Stiff: c.stiff, Mass: c.mass, Value: f.value, Container: c.outer.Container, IssuedFor: k.classes(c.issued)}
}

// better adds a pick unless one that is there is at least as good; without watched stock one is left.
func better(list []pick, p pick) []pick {
	for i := range list {
		if !p.worth.less(list[i].worth) && noMore(list[i].use, p.use) {
			return list
		}
	}
	out := list[:0]
	for i := range list {
		if list[i].worth.less(p.worth) || !noMore(p.use, list[i].use) {
			out = append(out, list[i])
		}
	}
	return append(out, p)
}

func noMore(a, b []int32) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

func (a worth) compare(b worth) int {
	return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.money, b.money), cmp.Compare(a.parcels, b.parcels), cmp.Compare(a.days, b.days))
}
