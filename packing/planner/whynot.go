package planner

import (
	"context"
	"slices"

	"solander/fault"
	"solander/packing"
)

// Answer says what would become of an order's parcels if a choice were forced.
type Answer struct {
	Order   string   `json:"order"`
	Choice  string   `json:"choice,omitempty"`  // the wrap or item forced
	Service string   `json:"service,omitempty"` // the service or class forced
	Parcels []Forced `json:"parcels"`
}

// Forced is one parcel of the plan with the choice forced on it: what it would be and how much more it
// would cost, or the first rule that forbids it.
type Forced struct {
	Contents []packing.Content `json:"contents"`
	Chosen   int64             `json:"chosen"`           // cost of the parcel as planned; 0 when the order is held
	Parcel   *packing.Parcel   `json:"parcel,omitempty"` // the cheapest with the choice forced
	More     int64             `json:"more"`             // what it costs more than the planned one; 0 when the order is held
	Reason   *packing.Reason   `json:"reason,omitempty"` // why it is not admissible
	Items    []string          `json:"items,omitempty"`  // the packaging tried then, inside out
	Mat      *packing.Mat      `json:"mat,omitempty"`    // how the sheets were tried side by side
}

// WhyNot plans a problem and then forces a wrap or a shelf item (choice) and a service or class of service
// on every parcel of one order, with the same contents; either may be "". A held order is tried as one
// parcel. The reason is that of the option which gets furthest in the documented order of the rules.
// Faults: Invalid as for Plan; Missing for an order, choice or service that the problem does not know.
func WhyNot(ctx context.Context, p packing.Problem, orderID, choice, service string) (Answer, error) {
	if err := p.Check(); err != nil {
		return Answer{}, err
	}
	planned := newSolver(&p)
	orders := planned.orders()
	which := -1
	at := slices.IndexFunc(orders, func(o *order) bool {
		which = slices.IndexFunc(o.members, func(m member) bool { return m.ID == orderID })
		return which >= 0
	})
	if at < 0 {
		return Answer{}, fault.New(fault.Missing, "there is no order %q in the problem", orderID).ToMend("name one of its orders")
	}
	results, _ := planned.solve(ctx, orders)
	k := newSolver(&p)
	f, err := k.force(k.newOrder(orders[at].joint()...), choice, service)
	if err != nil {
		return Answer{}, err
	}
	out := Answer{Order: orderID, Choice: choice, Service: service}
	used := planned.used(results)
	pool := newPool(f.o)
	if !f.o.sent(results[at].node).has(which) {
		set := f.o.only(1 << which).counts
		out.Parcels = append(out.Parcels, f.parcel(set, 0, used, pool.draw(set)))
		return out, nil
	}
	for _, p := range results[at].node.parcels() {
		if parts := pool.draw(p.set); f.o.facts(p.set).orders.has(which) {
			out.Parcels = append(out.Parcels, f.parcel(p.set, p.money, without(used, p), parts))
		}
	}
	return out, nil
}

// forcing is a choice made ready: the wraps and offers that remain.
type forcing struct {
	k     *solver
	o     *order
	wraps []*wrap
	not   *packing.Reason // the service does not lead to the destination
}

func (k *solver) force(o *order, choice, service string) (*forcing, error) {
	f := &forcing{k: k, o: o, wraps: k.forcedWraps(choice)}
	if len(f.wraps) == 0 {
		return nil, fault.New(fault.Missing, "there is no wrap and no shelf item %q that a wrap uses", choice).ToMend("name a wrap or an item of the problem")
	}
	if service == "" {
		return f, nil
	}
	is := func(id, class string) bool { return id == service || class == service }
	way := *o.way
	way.offers = nil
	for _, of := range o.way.offers {
		if is(of.Service.ID, of.Service.Class) {
			way.offers = append(way.offers, of)
		}
	}
	o.way = &way
	if len(way.offers) > 0 {
		return f, nil
	}
	for _, r := range way.refused {
		if is(r.service.ID, r.service.Class) {
			f.not = r.reason
			return f, nil
		}
	}
	return nil, fault.New(fault.Missing, "no price card of that day has a service or class %q", service).ToMend("name a service of a card that holds on the day")
}

// forcedWraps returns the wraps that a choice leaves: all for "", one for a wrap's id; for an item every
// wrap that has it, with the item alone in that layer.
func (k *solver) forcedWraps(choice string) []*wrap {
	if choice == "" {
		return k.wraps
	}
	var out []*wrap
	for _, w := range k.wraps {
		if w.ID == choice {
			return []*wrap{w}
		}
		for i := range w.layers {
			for _, it := range w.layers[i].items {
				if it.ID == choice {
					out = append(out, w.only(i, it))
				}
			}
		}
	}
	return out
}

// only returns the wrap with one item alone in a layer.
func (w *wrap) only(layer int, it *item) *wrap {
	c := *w
	c.layers = slices.Clone(w.layers)
	c.layers[layer].items = []*item{it}
	c.ground = c.footings()
	return &c
}

func (f *forcing) parcel(set []int, chosen int64, others []int, parts []part) Forced {
	out := Forced{Chosen: chosen}
	for _, part := range parts {
		out.Contents = append(out.Contents, part.content())
	}
	if p := f.best(set, others); p != nil {
		parcel := f.k.parcelPlan(p, f.o, parts)
		out.Parcel = &parcel
		if chosen > 0 {
			out.More = parcel.Cost - chosen
		}
		return out
	}
	out.Reason, out.Items, out.Mat = f.why(set, parts, others)
	return out
}

// best returns the cheapest parcel under the choice that the stock left by others allows, or nil.
func (f *forcing) best(set, others []int) *pick {
	facts := f.o.facts(set)
	rules := f.k.concerned(f.o, set, facts)
	var best *pick
	for _, w := range f.wraps {
		if !suits(w, facts) {
			continue
		}
		for _, p := range f.k.picksBy(f.o, set, facts, rules, w, nil) {
			t := f.k.newTrial(f.o, w, set, others)
			if t.short(&p.final) == nil && (best == nil || p.worth.less(best.worth)) {
				best = &p
			}
		}
	}
	return best
}

// why returns the reason of the option that gets furthest.
func (f *forcing) why(set []int, parts []part, others []int) (*packing.Reason, []string, *packing.Mat) {
	if f.not != nil {
		return f.not, nil, nil
	}
	var best *miss
	for _, w := range f.wraps {
		all := f.k.newTrial(f.o, w, set, others).misses()
		slices.SortFunc(all, compareMisses)
		for _, m := range all {
			if m.further(best) {
				best = m
			}
		}
	}
	if best == nil {
		return &packing.Reason{Rule: "shelf.none", Text: "no wrap with this choice has an item on the shelf for each of its layers"}, nil, nil
	}
	return best.reason(), best.items(parts), best.lies.plan(parts)
}

// without returns the pieces used by all parcels but one.
func without(used []int, p *pick) []int {
	out := slices.Clone(used)
	for c := p.final.last; c != nil; c = c.prev {
		out[c.item.index] -= c.count
	}
	return out
}
