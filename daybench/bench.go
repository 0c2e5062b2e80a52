package daybench

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"solander/bench"
	"solander/calendar"
	"solander/claims"
	"solander/dayplan"
	"solander/dayplan/setups"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/suppose"
	"solander/waiting"
)

// List is the list of a day; the zero day is today. Orders that may be packed are planned for that
// day's hand-over; an order that the planner holds shows why.
func List(ctx context.Context, s *studio.Studio, day calendar.Day) (bench.List, error) {
	plan, _, err := Later(ctx, s, day)
	return studio.Now(ctx, plan, err)
}

// Later reads what the list of a day follows from, and names the works that may be on it.
func Later(ctx context.Context, s *studio.Studio, day calendar.Day) (list studio.Later[bench.List], works []int64, err error) {
	later, works, err := PlannedLater(ctx, s, day)
	if err != nil {
		return nil, works, err
	}
	var may studio.Later[map[int64]waiting.Order]
	if day.IsZero() {
		may, err = waiting.MayWaitLater(ctx, s)
	}
	return func(ctx context.Context) (bench.List, error) {
		d, err := later(ctx)
		if err != nil {
			return bench.List{}, err
		}
		benchMayWait(ctx, s, &d.State, may)
		if d.SetUps != "" {
			d.Plans = nil // one more piece is counted against the cheapest plans
		}
		benchSavings(ctx, s, &d.State, d.ask, d.Plans)
		return bench.Make(d.State), nil
	}, works, err
}

// Planned is a day's bench with the plans that it follows from, by order.
type Planned struct {
	bench.State
	ask   dayplan.Ask
	Plans map[int64]dayplan.Plan
}

// PlannedLater reads what the parcels of a day are planned from.
func PlannedLater(ctx context.Context, s *studio.Studio, day calendar.Day) (later studio.Later[Planned], works []int64, err error) {
	if err := studio.Sane("day", day); err != nil {
		return nil, nil, err
	}
	var st bench.State
	var words planning.Wording
	var ask dayplan.Ask
	err = read(ctx, s, func(t *Daybench) error {
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		if st, err = t.benchState(s, d, day); err != nil {
			return err
		}
		if ask, err = planning.DayAskOf(s, planning.In(t.Turn), d, st.Day, nil); err != nil {
			return err
		}
		for _, e := range t.EditionsRead {
			works = append(works, e.Work)
		}
		words = planning.In(t.Turn).Wording(ask.Room)
		return t.benchParcels(&st, words, studio.CardsFor(ask.Room.Cards, t.Set, st.Day))
	})
	return func(ctx context.Context) (Planned, error) {
		plans, made, err := setups.Of(ctx, s.Plans, ask)
		if err != nil {
			return Planned{}, err
		}
		st.SetUps = made.Text()
		place := make(map[int64]int, len(st.Orders))
		for i := range st.Orders {
			place[st.Orders[i].ID] = i
		}
		for i := range st.Orders {
			if p, ok := plans[st.Orders[i].ID]; ok {
				benchPlan(st.Orders, place, i, p, words)
			}
		}
		return Planned{st, ask, plans}, nil
	}, works, err
}

// benchState reads what the bench needs but for parcels and plans.
func (t *Daybench) benchState(s *studio.Studio, d *studio.Drawer, day calendar.Day) (bench.State, error) {
	if day.IsZero() {
		day = t.Today
	}
	var err error
	st := bench.State{Day: day, Working: t.Working, Units: t.Set.Units, OnHand: d.Usable(), Runs: d.Runs, Leaving: planning.In(t.Turn).Leaving(day)}
	if st.Shelf, err = t.benchShelf(); err != nil {
		return st, err
	}
	if err := t.KnowBuyers(d.Orders); err != nil {
		return st, err
	}
	st.Orders = make([]bench.Order, 0, len(d.Orders))
	for _, o := range d.Orders {
		bo, err := t.benchOrder(o)
		if err != nil {
			return st, err
		}
		st.Orders = append(st.Orders, bo)
	}
	tell, err := t.Untold(d.Orders...)
	if err != nil {
		return st, err
	}
	for i := range st.Orders {
		st.Orders[i].Tell = tell[i]
	}
	if err := t.benchClaims(s, &st); err != nil {
		return st, err
	}
	return st, t.benchWaits(d, &st)
}

// benchClaims adds the open claims on operators.
func (t *Daybench) benchClaims(s *studio.Studio, st *bench.State) error {
	open, err := claims.In(t.Turn).Open(s)
	if err != nil {
		return err
	}
	for _, v := range open {
		var prints []string
		for _, p := range v.Prints {
			prints = append(prints, p.Name)
		}
		st.Claims = append(st.Claims, bench.Claim{ID: v.ID, Order: v.Order, Mark: v.Marks[0], Buyer: v.Buyer, Prints: strings.Join(prints, ", "), Todo: v.Claim.Todo(v.Terms, st.Day, v.Sending)})
	}
	return nil
}

// benchShelf is the packaging in use, with what packed parcels leave of it.
func (t *Daybench) benchShelf() ([]bench.Stock, error) {
	items, err := t.Shelf()
	if err != nil {
		return nil, err
	}
	used, err := stockroom.In(t.Turn).PackedUse()
	if err != nil {
		return nil, err
	}
	var out []bench.Stock
	for _, it := range items {
		if it.Retired {
			continue
		}
		bs := bench.Stock{ID: it.ID, Name: it.Spec.Name, Stock: it.Stock - used[it.Spec.ID], ReorderAt: it.ReorderAt, Pack: it.Pack, Used: used[it.Spec.ID] > 0}
		if bs.Stock <= bs.ReorderAt && !bs.Used {
			if bs.Used, err = t.everUsed(it.ID); err != nil {
				return nil, err
			}
		}
		out = append(out, bs)
	}
	return out, nil
}

// everUsed reports whether pieces of a shelf item left it, as far back as its latest moves tell.
func (t *Daybench) everUsed(item int64) (bool, error) {
	moves, err := t.Moves(supply.Packaging, item, 0)
	return slices.ContainsFunc(moves, func(m supply.Move) bool { return m.Delta < 0 }), err
}

func (t *Daybench) benchOrder(o order.Order) (bench.Order, error) {
	bo := bench.Order{Order: o}
	u, err := t.OutletOf(o.Outlet)
	if err != nil {
		return bo, err
	}
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return bo, err
	}
	bo.OutletName, bo.BuyerName, bo.Contact = u.Name, b.Name, cmp.Or(b.Email, b.Phone)
	for _, l := range o.Live() {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return bo, err
		}
		p := bench.Print{Line: l, Title: e.Title, Label: l.Number.Of(e), Size: e.Size(t.Set.Units), Grade: e.Grade, Edition: e.Name(t.Set.Units), Work: e.Work, Sides: bench.Oblong{Long: max(e.Width, e.Height), Short: min(e.Width, e.Height)}}
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

// benchParcels adds the parcels in the house, with the services of the cards by which each may go.
func (t *Daybench) benchParcels(st *bench.State, w planning.Wording, cards []dayplan.Card) error {
	open, err := t.OpenParcels()
	if err != nil {
		return err
	}
	in := map[int64]bool{} // orders of which a parcel is in the house
	for i := range open {
		for _, id := range open[i].OrderIDs() {
			in[id] = true
		}
	}
	marks, to := map[int64]string{}, map[int64]order.Address{}
	for i := range st.Orders {
		if o := &st.Orders[i]; in[o.ID] {
			marks[o.ID], to[o.ID] = o.Mark, o.ShipTo
		}
	}
	of := map[int64][]bench.Parcel{}
	for _, p := range open {
		var services []bench.Service
		if p.State == studio.Packed {
			services = t.servicesOf(p, to[p.Order], w, cards)
		}
		for _, id := range p.OrderIDs() {
			bp := bench.Parcel{
				ID: p.ID, Labelled: p.State == studio.Labelled, Service: w.Service(p.Plan.Card, p.Service), Text: w.Parcel(p), Tracking: p.Tracking, Warnings: p.Warnings,
				Postage: p.Estimated, Services: services, Leaves: planning.LeavesOf(p.Plan, p.Service, w.Service(p.Plan.Card, p.Service)),
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

// benchPlan puts the planner's answer, or why there is none, on an order; place is where each order stands by its id.
func benchPlan(orders []bench.Order, place map[int64]int, i int, d dayplan.Plan, w planning.Wording) {
	o := &orders[i]
	if d.Err != nil {
		o.Held = "it cannot be planned: " + fault.All(d.Err)[0].Error()
		return
	}
	if o.Held = d.Held(); o.Held != "" {
		return
	}
	p := &bench.Plan{Total: money.Of(d.Plan.Total, d.Plan.Currency), Postage: money.Of(0, d.Plan.Currency), Proven: d.Plan.Status == packing.Optimal, Shared: d.Shared}
	if d.Unkept != "" {
		p.Shared = append(slices.Clone(p.Shared), "the way that was chosen for it cannot be kept: "+d.Unkept)
	}
	if !p.Proven {
		p.AtMost = money.Of(d.Plan.Total-d.Plan.Bound, d.Plan.Currency)
	}
	for _, x := range d.Plan.Warnings {
		p.Warnings = append(p.Warnings, x.Text)
	}
	var prints []bench.Print
	marks := map[int64]string{}
	company := []int{i}
	for _, id := range d.With {
		if at, ok := place[id]; ok && at != i {
			company = append(company, at)
		}
	}
	slices.Sort(company) // as the bench lists them
	for _, at := range company {
		prints, marks[orders[at].ID] = append(prints, orders[at].Prints...), orders[at].Mark
	}
	if len(d.With) > 1 {
		p.With, p.Under = beside(d.With, d.With[0], o.ID, marks)
	}
	for _, planned := range d.Plan.Parcels {
		p.Parcels = append(p.Parcels, w.Planned(planned, prints))
		p.Postage.Minor += planning.PostageOf(planned)
	}
	o.Plan = p
}

// benchTime is how long the bench usually asks what one more piece would save; what is not known by then is left
// out there, and told where it is asked for.
const benchTime = 400 * time.Millisecond

// benchSavings puts on the shelf what one more piece would save.
func benchSavings(ctx context.Context, s *studio.Studio, st *bench.State, ask dayplan.Ask, plans map[int64]dayplan.Plan) {
	if dayplan.Stopped(ctx) {
		return
	}
	ctx, stop := context.WithTimeout(dayplan.Quietly(ctx), cmp.Or(s.Times.Bench, benchTime))
	defer stop()
	found, err := suppose.WithOneMore(ctx, s, ask, plans, nil)
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
