package studio

import (
	"context"

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
	var ask map[int]question
	err := s.read(ctx, func(t *turn) (err error) {
		if st, err = t.benchState(day); err != nil {
			return err
		}
		r, err := s.stockroom(t)
		if err != nil {
			return err
		}
		words = t.wording(r)
		ask, err = t.benchParcels(&st, r, words)
		return err
	})
	if err != nil {
		return bench.List{}, err
	}
	for i, q := range ask {
		if err := s.benchPlan(ctx, &st.Orders[i], q, words); err != nil {
			return bench.List{}, err
		}
	}
	return bench.Make(st), nil
}

// benchState reads what the bench needs but for parcels and plans.
func (t *turn) benchState(day calendar.Day) (bench.State, error) {
	if day.IsZero() {
		day = t.today
	}
	d, err := t.drawer()
	if err != nil {
		return bench.State{}, err
	}
	st := bench.State{Day: day, Working: t.working, Units: t.set.Units, OnHand: d.usable(), Runs: d.runs}
	if st.Shelf, err = t.benchShelf(); err != nil {
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
	bo.OutletName, bo.BuyerName = u.Name, b.Name
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

// benchParcels adds the parcels in the house, and asks a question for each order that may be packed.
func (t *turn) benchParcels(st *bench.State, r stockroom, w wording) (map[int]question, error) {
	open, err := t.OpenParcels()
	if err != nil {
		return nil, err
	}
	of := map[int64][]bench.Parcel{}
	for _, p := range open {
		of[p.Order] = append(of[p.Order], bench.Parcel{
			ID: p.ID, Labelled: p.State == Labelled, Service: w.service(p.Plan.Card, p.Service), Text: w.parcel(p.Plan), Tracking: p.Tracking, Warnings: p.Warnings,
		})
	}
	ask := map[int]question{}
	plain := make([]order.Order, len(st.Orders))
	for i := range st.Orders {
		st.Orders[i].Parcels = of[st.Orders[i].ID]
		plain[i] = st.Orders[i].Order
	}
	has := bench.SheetsOf(plain, st.OnHand, st.Runs).Has
	for i, o := range plain {
		lines, err := toPack(o)
		if err != nil || o.MayLeave() != nil || !allIn(lines, has) {
			continue // bench.Make shows it in another group
		}
		if ask[i], err = t.question(r, o, lines, t.handOverDay(st.Day)); err != nil {
			return nil, err
		}
	}
	return ask, nil
}

func allIn(lines []order.Line, has map[int64]bool) bool {
	for _, l := range lines {
		if !has[l.ID] {
			return false
		}
	}
	return true
}

// benchPlan puts the planner's answer, or why there is none, on an order.
func (s *Studio) benchPlan(ctx context.Context, o *bench.Order, q question, w wording) error {
	plan, err := s.answer(ctx, q)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		o.Held = "it cannot be planned: " + fault.All(err)[0].Error()
		return nil
	}
	if o.Held = heldReason(plan); o.Held != "" {
		return nil
	}
	p := &bench.Plan{Total: money.Of(plan.Total, plan.Currency), Proven: plan.Status == packing.Optimal}
	for _, x := range plan.Warnings {
		p.Warnings = append(p.Warnings, x.Text)
	}
	for _, planned := range plan.Parcels {
		p.Parcels = append(p.Parcels, w.planned(planned, o.Prints))
	}
	o.Plan = p
	return nil
}
