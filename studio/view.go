package studio

import (
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/money"
	"solander/order"
	"solander/tariff"
)

// orderView reads along all that a face shows of an order. d may be nil for one that is not open.
func (t *turn) orderView(o order.Order, d *drawer) (OrderView, error) {
	v := OrderView{Order: o, Due: o.Due(), Paid: o.Paid(), Owed: o.Owed()}
	outlet, err := t.outlet(o.Outlet)
	if err != nil {
		return v, err
	}
	v.OutletName = outlet.Name
	if v.BuyerData, err = t.buyer(o.Buyer); err != nil {
		return v, err
	}
	if o.State == order.Open {
		v.HeldBack, v.Doubts = o.HeldBack(), o.Doubts()
		if v.Lacks, err = t.lacks(o, d); err != nil {
			return v, err
		}
	}
	v.Stage = stageOf(o, d)
	v.Age, v.Late = t.ages(o)
	for _, l := range o.Lines {
		lv, err := t.lineView(o, l, d)
		if err != nil {
			return v, err
		}
		v.Views = append(v.Views, lv)
	}
	if v.Parcels, err = t.Parcels(o.ID); err != nil {
		return v, err
	}
	v.Sending = sendingOf(o.Mark, v.Parcels, t.set.Currency)
	v.Marks, err = t.Marks(o.ID)
	return v, err
}

// sendingOf adds up what an order bears of its parcels.
func sendingOf(mark string, parcels []Parcel, currency string) Sending {
	out := Sending{money.Of(0, currency), money.Of(0, currency), money.Of(0, currency)}
	for _, p := range parcels {
		for _, l := range p.Plan.Lines {
			own := p.ShareOf(mark, money.Of(l.Amount, currency)).Minor
			switch l.Rule {
			case tariff.Packaging:
				out.Packaging.Minor += own
			case tariff.Work:
				out.Work.Minor += own
			}
		}
		out.Postage.Minor += p.PostageOf(mark).Minor
	}
	return out
}

func stageOf(o order.Order, d *drawer) order.Stage {
	if d == nil {
		return order.Done
	}
	return d.stage(o)
}

// ages is how many working days an order took so far, and how many of them past its promise: until
// today, or until it was closed.
func (t *turn) ages(o order.Order) (age, late int) {
	until := t.today
	if o.State != order.Open && !o.Closed.IsZero() {
		until = o.Closed
	}
	if !o.Promised.IsZero() {
		late = max(0, t.working.Between(o.Promised, until))
	}
	return max(0, t.working.Between(o.Placed, until)), late
}

func (t *turn) lineView(o order.Order, l order.Line, d *drawer) (LineView, error) {
	v := LineView{Line: l}
	var err error
	if v.Ed, err = t.edition(l.Edition); err != nil {
		return v, err
	}
	v.Label = l.Number.Of(v.Ed)
	if !l.Number.IsZero() {
		if v.Standing, err = t.Standing(l.Edition, l.Number); err != nil {
			return v, err
		}
	}
	if d == nil || o.State != order.Open || l.Dropped || l.Sent {
		return v, nil
	}
	v.HasSheet = d.sheets.Has[l.ID]
	if c, ok := d.sheets.Coming[l.ID]; ok {
		v.Coming = &c
	}
	if !v.HasSheet && bench.Funded(o) {
		v.WaitsFor = o.Placed
	}
	return v, nil
}

// orderRow is one order in a list.
func (t *turn) orderRow(o order.Order, d *drawer) (OrderRow, error) {
	r := OrderRow{Order: o, Stage: stageOf(o, d), Owed: o.Owed()}
	outlet, err := t.outlet(o.Outlet)
	if err != nil {
		return r, err
	}
	b, err := t.buyer(o.Buyer)
	if err != nil {
		return r, err
	}
	r.OutletName, r.BuyerName = outlet.Name, b.Name
	_, r.Late = t.ages(o)
	for _, l := range o.Lines {
		e, err := t.edition(l.Edition)
		if err != nil {
			return r, err
		}
		if l.Dropped && o.State == order.Open {
			continue
		}
		r.Prints = append(r.Prints, named(l.Number.Of(e), e.Title))
	}
	return r, nil
}

// named puts a number before a title: "17/250 Heron at dusk", or the title alone.
func named(label, title string) string {
	if label == "" {
		return title
	}
	return label + " " + title
}

// whole reads an order again by id and returns its view, after a use case changed it.
func (t *turn) whole(id int64) (OrderView, error) {
	o, err := t.Order(id)
	if err != nil {
		return OrderView{}, err
	}
	return t.viewOf(o)
}

// taken returns the view of a sale that was just taken into the book. One for which nothing was paid has no claim on
// a sheet, so that the drawer is not opened for it while others wait to write: what it lacks is told without sheets.
func (t *turn) taken(id int64) (OrderView, error) {
	o, err := t.Order(id)
	if err != nil {
		return OrderView{}, err
	}
	if bench.Funded(o) {
		return t.viewOf(o)
	}
	return t.orderView(o, &drawer{})
}

// viewOf returns the view of an order, with the drawer when it is open.
func (t *turn) viewOf(o order.Order) (OrderView, error) {
	if o.State != order.Open {
		return t.orderView(o, nil)
	}
	d, err := t.drawer()
	if err != nil {
		return OrderView{}, err
	}
	return t.orderView(o, d)
}

// lineOf returns the line of an order by id.
func lineOf(o order.Order, id int64) (order.Line, bool) {
	i := slices.IndexFunc(o.Lines, func(l order.Line) bool { return l.ID == id })
	if i < 0 {
		return order.Line{}, false
	}
	return o.Lines[i], true
}

// latest returns the later of two days.
func latest(a, b calendar.Day) calendar.Day {
	if a.Before(b) {
		return b
	}
	return a
}
