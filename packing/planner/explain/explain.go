// Package explain writes a parcel out in full, as it stands in a plan, and says why what looks cheaper, what was asked
// for or a whole order cannot go: the first rule broken by the option that gets furthest in the documented order of
// the rules, with its numbers. Lengths are nanometres, masses nanograms, money minor units. It chooses nothing.
package explain

import (
	"cmp"
	"slices"

	"solander/packing"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
)

// misses returns the options of a wrap that break a rule, one for each outermost item and service.
func (t *trial) misses() []*Miss {
	t.run()
	var out []*Miss
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

func (t *trial) anyWorks(it *means.Item) bool {
	for key := range t.works {
		if key.item == it {
			return true
		}
	}
	return false
}

// Rejected lists the options for the contents of a parcel that look cheaper and break a rule.
func Rejected(k *parcel.Kit, p *parcel.Pick, o *parcel.Order, parts []Part, number int) []packing.Rejected {
	most := k.P.Options.Rejections()
	if most == 0 {
		return []packing.Rejected{}
	}
	var all []*Miss
	for _, w := range k.Wraps {
		for _, m := range newTrial(k, o, w, p.Set, nil).misses() {
			if m.looks < p.Money {
				all = append(all, m)
			}
		}
	}
	slices.SortFunc(all, compareMisses)
	out := make([]packing.Rejected, 0, min(most, len(all)))
	for _, m := range all[:min(most, len(all))] {
		r := packing.Rejected{Order: parts[0].Order, Parcel: number, Wrap: m.wrap.ID, Items: m.Items(parts), Mat: Mat(m.Lies, parts), Looks: m.looks, Reason: *m.Reason()}
		if m.offer != nil {
			r.Card, r.Service = m.offer.Card.ID, m.offer.Service.ID
		}
		out = append(out, r)
	}
	return out
}

func compareMisses(a, b *Miss) int {
	if c := cmp.Or(cmp.Compare(a.looks, b.looks), cmp.Compare(a.wrap.Index, b.wrap.Index), slices.Compare(a.ids(), b.ids())); c != 0 {
		return c
	}
	name := func(m *Miss) string {
		if m.offer == nil {
			return ""
		}
		return m.offer.Card.ID + "\x00" + m.offer.Service.ID
	}
	return cmp.Compare(name(a), name(b))
}

// ids returns the items of the chain, for a fixed order of misses.
func (m *Miss) ids() []string {
	var out []string
	for c := m.chain; c != nil; c = c.Prev {
		out = append(out, c.Item.ID)
	}
	return out
}

// Items returns the packaging tried, inside out: one item for each entry that the parcel's layers would
// have.
func (m *Miss) Items(parts []Part) []string {
	out := []string{}
	for i := range m.wrap.Stages {
		for _, p := range parts {
			out = append(out, m.at(i, p.group)...)
		}
		out = append(out, m.at(i, -1)...)
	}
	return out
}

func (m *Miss) at(layer, group int) []string {
	for c := m.chain; c != nil; c = c.Prev {
		if c.Layer == layer && c.Group == group {
			return []string{c.Item.ID}
		}
	}
	return nil
}

// Furthest returns the option for a set of sheets by some wraps that gets furthest, or nil when there is none at all;
// others are the pieces of each item that other parcels take, nil = none.
func Furthest(k *parcel.Kit, o *parcel.Order, wraps []*means.Wrap, set, others []int) *Miss {
	var best *Miss
	for _, w := range wraps {
		all := newTrial(k, o, w, set, others).misses()
		slices.SortFunc(all, compareMisses)
		for _, m := range all {
			if m.further(best) {
				best = m
			}
		}
	}
	return best
}

// Held says why a member cannot go, and which of its sheets cannot, if it is one. t may be nil.
func Held(k *parcel.Kit, o *parcel.Order, member int, t *partition.Table) Hold {
	if why := noWay(k, o); why != nil {
		return Hold{Reason: why}
	}
	if t != nil && t.Able.Has(member) {
		return Hold{Reason: &packing.Reason{Rule: "order.partner", Text: "it can only go in a parcel with another order, and that goes without it"}}
	}
	if t != nil {
		if g := t.Impossible(member); g >= 0 {
			set := make([]int, len(o.Groups))
			set[g] = 1
			if m := Furthest(k, o, k.Wraps, set, nil); m != nil && !m.lonely {
				return Hold{m.Reason(), o.Groups[g].First.ID}
			}
		}
	}
	if m := Furthest(k, o, k.Wraps, o.Only(1<<member).Counts, nil); m != nil {
		return Hold{Reason: m.Reason()}
	}
	return Hold{Reason: &packing.Reason{Rule: "shelf.none", Text: "no wrap has an item on the shelf for each of its layers"}}
}

// noWay says why no service leads to the destination at all; the reason that gets furthest.
func noWay(k *parcel.Kit, o *parcel.Order) *packing.Reason {
	if len(o.Way.Offers) > 0 {
		return nil
	}
	if len(o.Way.Refused) == 0 {
		return &packing.Reason{Rule: "tariff.none", Text: "no price card holds on " + k.P.Day.Long()}
	}
	order := []string{"service.destination", "zone.origin", "zone.destination", "price.zone"}
	best := o.Way.Refused[0].Reason
	for _, r := range o.Way.Refused {
		if slices.Index(order, r.Reason.Rule) > slices.Index(order, best.Rule) {
			best = r.Reason
		}
	}
	return best
}

// Hold is why an order is held.
type Hold struct {
	Reason *packing.Reason
	Sheet  string // the sheet that cannot go
}
