package planner

import (
	"cmp"
	"slices"

	"solander/packing"
)

// misses returns the options of a wrap that break a rule, one for each outermost item and service.
func (t *trial) misses() []*miss {
	t.run()
	var out []*miss
	if len(t.fits) == 0 && len(t.outer) == 0 {
		if t.inner != nil {
			out = append(out, t.inner)
		}
		return out
	}
	for it, m := range t.outer {
		if !t.fits[it] {
			out = append(out, m)
		}
	}
	for key, m := range t.tried {
		if key.offer == nil && t.anyWorks(key.item) || t.works[key] {
			continue
		}
		out = append(out, m)
	}
	return out
}

func (t *trial) anyWorks(it *item) bool {
	for key := range t.works {
		if key.item == it {
			return true
		}
	}
	return false
}

// rejected lists the options for the contents of a parcel that look cheaper and break a rule.
func (k *kit) rejected(p *pick, o *order, parts []part, number int) []packing.Rejected {
	most := k.p.Options.Rejections()
	if most == 0 {
		return []packing.Rejected{}
	}
	var all []*miss
	for _, w := range k.wraps {
		for _, m := range k.newTrial(o, w, p.set, nil).misses() {
			if m.looks < p.money {
				all = append(all, m)
			}
		}
	}
	slices.SortFunc(all, compareMisses)
	out := make([]packing.Rejected, 0, min(most, len(all)))
	for _, m := range all[:min(most, len(all))] {
		r := packing.Rejected{Order: parts[0].order, Parcel: number, Wrap: m.wrap.ID, Items: m.items(parts), Mat: m.lies.plan(parts), Looks: m.looks, Reason: *m.reason()}
		if m.offer != nil {
			r.Card, r.Service = m.offer.Card.ID, m.offer.Service.ID
		}
		out = append(out, r)
	}
	return out
}

func compareMisses(a, b *miss) int {
	if c := cmp.Or(cmp.Compare(a.looks, b.looks), cmp.Compare(a.wrap.index, b.wrap.index), slices.Compare(a.ids(), b.ids())); c != 0 {
		return c
	}
	name := func(m *miss) string {
		if m.offer == nil {
			return ""
		}
		return m.offer.Card.ID + "\x00" + m.offer.Service.ID
	}
	return cmp.Compare(name(a), name(b))
}

// ids returns the items of the chain, for a fixed order of misses.
func (m *miss) ids() []string {
	var out []string
	for c := m.chain; c != nil; c = c.prev {
		out = append(out, c.item.ID)
	}
	return out
}

// items returns the packaging tried, inside out: one item for each entry that the parcel's layers would
// have.
func (m *miss) items(parts []part) []string {
	out := []string{}
	for i := range m.wrap.layers {
		for _, p := range parts {
			out = append(out, m.at(i, p.group)...)
		}
		out = append(out, m.at(i, -1)...)
	}
	return out
}

func (m *miss) at(layer, group int) []string {
	for c := m.chain; c != nil; c = c.prev {
		if c.layer == layer && c.group == group {
			return []string{c.item.ID}
		}
	}
	return nil
}

// furthest returns the option for a set of sheets that gets furthest, or nil when there is none at all.
func (k *kit) furthest(o *order, set []int) *miss {
	var best *miss
	for _, w := range k.wraps {
		all := k.newTrial(o, w, set, nil).misses()
		slices.SortFunc(all, compareMisses)
		for _, m := range all {
			if m.further(best) {
				best = m
			}
		}
	}
	return best
}

// held says why a member cannot go, and which of its sheets cannot, if it is one. t may be nil.
func (k *kit) held(o *order, member int, t *table) hold {
	if why := k.noWay(o); why != nil {
		return hold{reason: why}
	}
	if t != nil && t.able.has(member) {
		return hold{reason: &packing.Reason{Rule: "order.partner", Text: "it can only go in a parcel with another order, and that goes without it"}}
	}
	if t != nil {
		if g := t.impossible(member); g >= 0 {
			set := make([]int, len(o.groups))
			set[g] = 1
			if m := k.furthest(o, set); m != nil {
				return hold{m.reason(), o.groups[g].first.ID}
			}
		}
	}
	if m := k.furthest(o, o.only(1<<member).counts); m != nil {
		return hold{reason: m.reason()}
	}
	return hold{reason: &packing.Reason{Rule: "shelf.none", Text: "no wrap has an item on the shelf for each of its layers"}}
}

// noWay says why no service leads to the destination at all; the reason that gets furthest.
func (k *kit) noWay(o *order) *packing.Reason {
	if len(o.way.offers) > 0 {
		return nil
	}
	if len(o.way.refused) == 0 {
		return &packing.Reason{Rule: "tariff.none", Text: "no price card holds on " + k.p.Day.Long()}
	}
	order := []string{"service.destination", "zone.origin", "zone.destination", "price.zone"}
	best := o.way.refused[0].reason
	for _, r := range o.way.refused {
		if slices.Index(order, r.reason.Rule) > slices.Index(order, best.Rule) {
			best = r.reason
		}
	}
	return best
}

// hold is why an order is held.
type hold struct {
	reason *packing.Reason
	sheet  string // the sheet that cannot go
}
