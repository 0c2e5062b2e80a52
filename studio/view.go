package studio

import (
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/money"
	"solander/order"
	"solander/tariff"
)

// OrderView reads along all that a face shows of an order. d may be nil for one that is not open.
func (t *Turn) OrderView(o order.Order, d *Drawer) (OrderView, error) {
	v := OrderView{Order: o, Due: o.Due(), Paid: o.Paid(), Owed: o.Owed()}
	outlet, err := t.OutletOf(o.Outlet)
	if err != nil {
		return v, err
	}
	v.OutletName = outlet.Name
	if v.BuyerData, err = t.BuyerOf(o.Buyer); err != nil {
		return v, err
	}
	lacks, tell, err := t.LacksToGo(o, d)
	if err != nil {
		return v, err
	}
	if v.Tell = tell; o.State == order.Open {
		v.Lacks, v.HeldBack, v.Doubts = lacks, HeldBack(o, tell), o.Doubts()
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
	if v.Parcels, err = t.Tx.Parcels(o.ID); err != nil {
		return v, err
	}
	v.Sending = sendingOf(o.Mark, v.Parcels, t.Set.Currency)
	marks, err := t.Tx.Marks(o.ID)
	v.Marks = Anew(marks)
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

func stageOf(o order.Order, d *Drawer) order.Stage {
	if d == nil {
		return order.Done
	}
	return d.Stage(o)
}

// ages is how many working days an order took so far, and how many of them past its promise: until
// today, or until it was closed.
func (t *Turn) ages(o order.Order) (age, late int) {
	until := t.Today
	if o.State != order.Open && !o.Closed.IsZero() {
		until = o.Closed
	}
	if !o.Promised.IsZero() {
		late = max(0, t.Working.Between(o.Promised, until))
	}
	return max(0, t.Working.Between(o.Placed, until)), late
}

func (t *Turn) lineView(o order.Order, l order.Line, d *Drawer) (LineView, error) {
	v := LineView{Line: l}
	var err error
	if v.Ed, err = t.EditionOf(l.Edition); err != nil {
		return v, err
	}
	v.Label = l.Number.Of(v.Ed)
	if !l.Number.IsZero() {
		if v.Standing, err = t.Tx.Standing(l.Edition, l.Number); err != nil {
			return v, err
		}
	}
	if d == nil || o.State != order.Open || l.Dropped || l.Sent {
		return v, nil
	}
	v.HasSheet = d.Sheets.Has[l.ID]
	if c, ok := d.Sheets.Coming[l.ID]; ok {
		v.Coming = &c
	}
	if !v.HasSheet && bench.Funded(o) {
		v.WaitsFor = o.Placed
	}
	return v, nil
}

// OrderRow is one order in a list.
func (t *Turn) OrderRow(o order.Order, d *Drawer) (OrderRow, error) {
	r := OrderRow{Order: o, Stage: stageOf(o, d), Owed: o.Owed()}
	outlet, err := t.OutletOf(o.Outlet)
	if err != nil {
		return r, err
	}
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return r, err
	}
	r.OutletName, r.BuyerName = outlet.Name, b.Name
	_, r.Late = t.ages(o)
	for _, l := range o.Lines {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return r, err
		}
		if l.Dropped && o.State == order.Open {
			continue
		}
		r.Prints = append(r.Prints, Named(l.Number.Of(e), e.Title))
	}
	return r, nil
}

// Named puts a number before a title: "17/250 Heron at dusk", or the title alone.
func Named(label, title string) string {
	if label == "" {
		return title
	}
	return label + " " + title
}

// Whole reads an order again by id and returns its view, after a use case changed it.
func (t *Turn) Whole(id int64) (OrderView, error) {
	o, err := t.Tx.Order(id)
	if err != nil {
		return OrderView{}, err
	}
	return t.ViewOf(o)
}

// Taken returns the view of a sale that was just taken into the book. One for which nothing was paid has no claim on
// a sheet, so that the drawer is not opened for it while others wait to write: what it lacks is told without sheets.
func (t *Turn) Taken(id int64) (OrderView, error) {
	o, err := t.Tx.Order(id)
	if err != nil {
		return OrderView{}, err
	}
	if bench.Funded(o) {
		return t.ViewOf(o)
	}
	return t.OrderView(o, &Drawer{})
}

// ViewOf returns the view of an order, with the drawer when it is open.
func (t *Turn) ViewOf(o order.Order) (OrderView, error) {
	if o.State != order.Open {
		return t.OrderView(o, nil)
	}
	d, err := t.Drawer()
	if err != nil {
		return OrderView{}, err
	}
	return t.OrderView(o, d)
}

// LineOf returns the line of an order by id.
func LineOf(o order.Order, id int64) (order.Line, bool) {
	i := slices.IndexFunc(o.Lines, func(l order.Line) bool { return l.ID == id })
	if i < 0 {
		return order.Line{}, false
	}
	return o.Lines[i], true
}

// Latest returns the later of two days.
func Latest(a, b calendar.Day) calendar.Day {
	if a.Before(b) {
		return b
	}
	return a
}

// Rows of one page of a list: when nothing else is asked for, and at most.
const (
	PageLimit = 50
	MostPage  = 500
)
