package planner

import (
	"context"
	"slices"

	"solander/fault"
	"solander/packing"
	"solander/packing/planner/explain"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
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
	orders := planned.Orders()
	which := -1
	at := slices.IndexFunc(orders, func(o *parcel.Order) bool {
		which = slices.IndexFunc(o.Members, func(m parcel.Member) bool { return m.ID == orderID })
		return which >= 0
	})
	if at < 0 {
		return Answer{}, fault.New(fault.Missing, "there is no order %q in the problem", orderID).ToMend("name one of its orders")
	}
	results, _ := planned.solve(ctx, orders)
	k := newSolver(&p)
	f, err := k.force(k.NewOrder(orders[at].Joint()...), choice, service)
	if err != nil {
		return Answer{}, err
	}
	out := Answer{Order: orderID, Choice: choice, Service: service}
	used := planned.used(results)
	pool := explain.NewPool(f.o)
	if !partition.Sent(f.o, results[at].split).Has(which) {
		set := f.o.Only(1 << which).Counts
		out.Parcels = append(out.Parcels, f.parcel(set, 0, used, pool.Draw(set)))
		return out, nil
	}
	for _, p := range results[at].split.Parcels() {
		if parts := pool.Draw(p.Set); f.o.Facts(p.Set).Orders.Has(which) {
			out.Parcels = append(out.Parcels, f.parcel(p.Set, p.Money, without(used, p), parts))
		}
	}
	return out, nil
}

// forcing is a choice made ready: the wraps and offers that remain.
type forcing struct {
	k     *solver
	o     *parcel.Order
	wraps []*means.Wrap
	not   *packing.Reason // the service does not lead to the destination
}

func (k *solver) force(o *parcel.Order, choice, service string) (*forcing, error) {
	f := &forcing{k: k, o: o, wraps: k.forcedWraps(choice)}
	if len(f.wraps) == 0 {
		return nil, fault.New(fault.Missing, "there is no wrap and no shelf item %q that a wrap uses", choice).ToMend("name a wrap or an item of the problem")
	}
	if service == "" {
		return f, nil
	}
	is := func(id, class string) bool { return id == service || class == service }
	way := *o.Way
	way.Offers = nil
	for _, of := range o.Way.Offers {
		if is(of.Service.ID, of.Service.Class) {
			way.Offers = append(way.Offers, of)
		}
	}
	o.Way = &way
	if len(way.Offers) > 0 {
		return f, nil
	}
	for _, r := range way.Refused {
		if is(r.Service.ID, r.Service.Class) {
			f.not = r.Reason
			return f, nil
		}
	}
	return nil, fault.New(fault.Missing, "no price card of that day has a service or class %q", service).ToMend("name a service of a card that holds on the day")
}

// forcedWraps returns the wraps that a choice leaves: all for "", one for a wrap's id; for an item every
// wrap that has it, with the item alone in that layer.
func (k *solver) forcedWraps(choice string) []*means.Wrap {
	if choice == "" {
		return k.Wraps
	}
	var out []*means.Wrap
	for _, w := range k.Wraps {
		if w.ID == choice {
			return []*means.Wrap{w}
		}
		for i := range w.Stages {
			for _, it := range w.Stages[i].Choices {
				if it.ID == choice {
					out = append(out, only(w, i, it))
				}
			}
		}
	}
	return out
}

// only returns the wrap with one item alone in a layer.
func only(w *means.Wrap, layer int, it *means.Item) *means.Wrap {
	c := *w
	c.Stages = slices.Clone(w.Stages)
	c.Stages[layer].Choices = []*means.Item{it}
	c.Settle()
	return &c
}

func (f *forcing) parcel(set []int, chosen int64, others []int, parts []explain.Part) Forced {
	out := Forced{Chosen: chosen}
	for _, part := range parts {
		out.Contents = append(out.Contents, part.Content())
	}
	if p := f.best(set, others); p != nil {
		parcel := explain.Parcel(f.k.Kit, p, f.o, parts)
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
func (f *forcing) best(set, others []int) *parcel.Pick {
	facts := f.o.Facts(set)
	rules := f.k.Concerned(f.o, set, facts)
	var best *parcel.Pick
	for _, w := range f.wraps {
		if !f.o.Suits(w, set, facts) {
			continue
		}
		for _, p := range f.k.PicksBy(f.o, set, facts, rules, w, nil) {
			if explain.Short(f.k.Kit, &p.Final, others) == nil && (best == nil || p.Worth.Less(best.Worth)) {
				best = &p
			}
		}
	}
	return best
}

// why returns the reason of the option that gets furthest.
func (f *forcing) why(set []int, parts []explain.Part, others []int) (*packing.Reason, []string, *packing.Mat) {
	if f.not != nil {
		return f.not, nil, nil
	}
	best := explain.Furthest(f.k.Kit, f.o, f.wraps, set, others)
	if best == nil {
		return &packing.Reason{Rule: "shelf.none", Text: "no wrap with this choice has an item on the shelf for each of its layers"}, nil, nil
	}
	return best.Reason(), best.Items(parts), explain.Mat(best.Lies, parts)
}

// without returns the pieces used by all parcels but one.
func without(used []int, p *parcel.Pick) []int {
	out := slices.Clone(used)
	for c := p.Final.Last; c != nil; c = c.Prev {
		out[c.Item.Index] -= c.Count
	}
	return out
}
