package studio

import (
	"cmp"
	"context"
	"slices"
	"time"

	"solander/bench"
	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
)

// Bench is the list of a day; the zero day is today. Orders that may be packed are planned for that
// day's hand-over; an order that the planner holds shows why.
func (s *Studio) Bench(ctx context.Context, day calendar.Day) (bench.List, error) {
	if err := sane("day", day); err != nil {
		return bench.List{}, err
	}
	var st bench.State
	var words wording
	var ask dayAsk
	err := s.read(ctx, func(t *turn) error {
		d, err := t.drawer()
		if err != nil {
			return err
		}
		if st, err = t.benchState(d, day); err != nil {
			return err
		}
		if ask, err = s.dayAskOf(t, d, st.Day, nil); err != nil {
			return err
		}
		words = t.wording(ask.room)
		return t.benchParcels(&st, words)
	})
	if err != nil {
		return bench.List{}, err
	}
	plans, err := s.plans.dayPlans(ctx, ask)
	if err != nil {
		return bench.List{}, err
	}
	place := make(map[int64]int, len(st.Orders))
	for i := range st.Orders {
		place[st.Orders[i].ID] = i
	}
	for i := range st.Orders {
		if p, ok := plans[st.Orders[i].ID]; ok {
			benchPlan(st.Orders, place, i, p, words)
		}
	}
	s.benchSavings(ctx, &st, ask, plans)
	return bench.Make(st), nil
}

// benchState reads what the bench needs but for parcels and plans.
func (t *turn) benchState(d *drawer, day calendar.Day) (bench.State, error) {
	if day.IsZero() {
		day = t.today
	}
	var err error
	st := bench.State{Day: day, Working: t.working, Units: t.set.Units, OnHand: d.usable(), Runs: d.runs}
	if st.Shelf, err = t.benchShelf(); err != nil {
		return st, err
	}
	if err := t.knowBuyers(d.orders); err != nil {
		return st, err
	}
	for _, o := range d.orders {
		bo, err := t.benchOrder(o)
		if err != nil {
			return st, err
		}
		st.Orders = append(st.Orders, bo)
	}
	return st, nil
}

// benchShelf is the packaging in use, with what packed parcels leave of it.
func (t *turn) benchShelf() ([]bench.Stock, error) {
	items, err := t.Shelf()
	if err != nil {
		return nil, err
	}
	used, err := t.packedUse()
	if err != nil {
		return nil, err
	}
	var out []bench.Stock
	for _, it := range items {
		if !it.Retired {
			out = append(out, bench.Stock{ID: it.ID, Name: it.Spec.Name, Stock: it.Stock - used[it.Spec.ID], ReorderAt: it.ReorderAt, Pack: it.Pack})
		}
	}
	return out, nil
}

func (t *turn) benchOrder(o order.Order) (bench.Order, error) {
	bo := bench.Order{Order: o}
	u, err := t.outlet(o.Outlet)
	if err != nil {
		return bo, err
	}
	b, err := t.buyer(o.Buyer)
	if err != nil {
		return bo, err
	}
	bo.OutletName, bo.BuyerName, bo.Contact = u.Name, b.Name, cmp.Or(b.Email, b.Phone)
	for _, l := range o.Live() {
		e, err := t.edition(l.Edition)
		if err != nil {
			return bo, err
		}
		p := bench.Print{Line: l, Title: e.Title, Label: l.Number.Of(e), Size: e.Size(t.set.Units), Grade: e.Grade, Edition: e.Name(t.set.Units)}
		if p.Label == "" {
			p.Label = "open edition"
		}
		bo.Prints = append(bo.Prints, p)
	}
	return bo, nil
}

// beside names the orders that share parcels with one, and the order that they are listed under when it is another.
func beside(all []int64, under, id int64, marks map[int64]string) (with []string, listed string) {
	for _, other := range all {
		if other != id {
			with = append(with, marks[other])
		}
	}
	if under != id {
		listed = marks[under]
	}
	slices.Sort(with)
	return with, listed
}

// benchParcels adds the parcels in the house.
func (t *turn) benchParcels(st *bench.State, w wording) error {
	open, err := t.OpenParcels()
	if err != nil {
		return err
	}
	marks := map[int64]string{}
	for _, o := range st.Orders {
		marks[o.ID] = o.Mark
	}
	of := map[int64][]bench.Parcel{}
	for _, p := range open {
		for _, id := range p.OrderIDs() {
			bp := bench.Parcel{
				ID: p.ID, Labelled: p.State == Labelled, Service: w.service(p.Plan.Card, p.Service), Text: w.parcel(p.Plan), Tracking: p.Tracking, Warnings: p.Warnings,
			}
			bp.With, bp.Under = beside(p.OrderIDs(), p.Order, id, marks)
			of[id] = append(of[id], bp)
		}
	}
	for i := range st.Orders {
		st.Orders[i].Parcels = of[st.Orders[i].ID]
	}
	return nil
}

func allIn(lines []order.Line, has map[int64]bool) bool {
	for _, l := range lines {
		if !has[l.ID] {
			return false
		}
	}
	return true
}

// benchPlan puts the planner's answer, or why there is none, on an order; place is where each order stands by its id.
func benchPlan(orders []bench.Order, place map[int64]int, i int, d dayPlan, w wording) {
	o := &orders[i]
	if d.err != nil {
		o.Held = "it cannot be planned: " + fault.All(d.err)[0].Error()
		return
	}
	if o.Held = d.held(); o.Held != "" {
		return
	}
	p := &bench.Plan{Total: money.Of(d.plan.Total, d.plan.Currency), Proven: d.plan.Status == packing.Optimal, Shared: d.shared}
	if !p.Proven {
		p.AtMost = money.Of(d.plan.Total-d.plan.Bound, d.plan.Currency)
	}
	for _, x := range d.plan.Warnings {
		p.Warnings = append(p.Warnings, x.Text)
	}
	var prints []bench.Print
	marks := map[int64]string{}
	company := []int{i}
	for _, id := range d.with {
		if at, ok := place[id]; ok && at != i {
			company = append(company, at)
		}
	}
	slices.Sort(company) // as the bench lists them
	for _, at := range company {
		prints, marks[orders[at].ID] = append(prints, orders[at].Prints...), orders[at].Mark
	}
	if len(d.with) > 1 {
		p.With, p.Under = beside(d.with, d.with[0], o.ID, marks)
	}
	for _, planned := range d.plan.Parcels {
		p.Parcels = append(p.Parcels, w.planned(planned, prints))
	}
	o.Plan = p
}

// benchTime is how long the bench usually asks what one more piece would save; what is not known by then is left
// out there, and told where it is asked for.
const benchTime = 400 * time.Millisecond

// benchSavings puts on the shelf what one more piece would save.
func (s *Studio) benchSavings(ctx context.Context, st *bench.State, ask dayAsk, plans map[int64]dayPlan) {
	if stopped(ctx) {
		return
	}
	ctx, stop := context.WithTimeout(quietly(ctx), cmp.Or(s.times.Bench, benchTime))
	defer stop()
	found, err := s.oneMore(ctx, ask, plans, nil)
	if err != nil {
		return // the bench is whole without it
	}
	for i := range st.Shelf {
		for _, m := range found.Items {
			if m.ID == st.Shelf[i].ID {
				st.Shelf[i].OneMore = m.Text
			}
		}
	}
}
