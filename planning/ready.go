package planning

import (
	"fmt"

	"solander/bench"
	"solander/calendar"
	"solander/dayplan"
	"solander/order"
	"solander/packing"
	"solander/packing/front"
	"solander/studio"
)

// Ready is when an order may go.
type Ready struct {
	Lines []order.Line // what of it is to be packed
	Day   calendar.Day // the first working day on which all of that may be there, from today on; no day = not known, or it may not go
	Why   string       // why it is not today, or not known
}

// ReadyOn says when an order may go, by what is known now: today when the bench lets it be packed; on the next working day when a print of it
// lies in the drawer unsigned; on the day that a run is expected, and not today, when its sheet comes with it. A run that is overdue is not
// counted on.
func (t *Planning) ReadyOn(o order.Order, d *studio.Drawer) Ready {
	lines, err := ToPack(o)
	if err != nil {
		return Ready{Why: "nothing of it is to be packed"}
	}
	r := Ready{Lines: lines, Day: t.HandOverDay(t.Today)}
	if studio.AllIn(lines, d.Sheets.Has) && o.MayLeave() == nil {
		return r
	}
	next, none := t.Working.Add(r.Day, 1), Ready{Lines: lines}
	switch {
	case o.NoAddress() != "":
		none.Why = o.NoAddress()
		return none
	case !bench.Settled(o):
		none.Why = o.Owed().String() + " is still owed"
		return none
	}
	for _, l := range lines {
		if d.Sheets.Has[l.ID] {
			if !l.Signed && o.Override == nil {
				r.Day, r.Why = studio.Latest(r.Day, next), "a print of it is not signed yet"
			}
			continue
		}
		run, ordered := d.Sheets.Coming[l.ID]
		switch {
		case !ordered:
			none.Why = "a sheet of it is not ordered"
			return none
		case run.Expected.IsZero():
			none.Why = fmt.Sprintf("nobody said when run %d comes", run.Run)
			return none
		case run.Expected.Before(t.Today):
			none.Why = fmt.Sprintf("run %d is overdue since %s", run.Run, run.Expected.Short())
			return none
		}
		if day := t.Working.Add(run.Expected, 0); day.After(r.Day) {
			r.Day, r.Why = day, fmt.Sprintf("run %d is expected on %s", run.Run, run.Expected.Short())
		}
		r.Day = studio.Latest(r.Day, next)
	}
	if r.Day.Before(next) { // a print in a parcel of it that is not signed
		r.Day = next
	}
	return r
}

// LastDay is the last day on which an order that waits may go: the last working day on which its promise is kept, less the reserve, and not
// after it is to arrive. No day = nothing was promised.
func (t *Planning) LastDay(o order.Order) calendar.Day {
	var last calendar.Day
	if !o.Promised.IsZero() {
		last = t.Working.Add(o.Promised.Add(1), -1-t.Set.ReserveDays())
	}
	if by := o.ArriveBy; !by.IsZero() && !by.Before(t.Today) && (last.IsZero() || by.Before(last)) {
		last = by
	}
	return last
}

// Waiting reports whether an order waits on a day of hand-over because its artist said so; broken says why it does not although that day is
// not yet there: what it waits for does not come by then, or its promise is nearer.
func (t *Planning) Waiting(o order.Order, d *studio.Drawer, day calendar.Day) (waits bool, broken string, err error) {
	w := o.Wait
	if w == nil || w.Kept || !w.Until.After(t.HandOverDay(day)) {
		return false, "", nil
	}
	if last := t.LastDay(o); !last.IsZero() && w.Until.After(last) {
		return false, "its promise is too near for that now", nil
	}
	for _, mark := range w.With {
		if why := t.joins(mark, d, w.Until); why != "" {
			return false, mark + " does not go with it by then: " + why, nil
		}
	}
	if len(w.For) == 0 {
		return true, "", nil
	}
	shelf, err := t.Shelf()
	if err != nil {
		return false, "", err
	}
	for _, it := range shelf {
		had, waited := w.For[it.Spec.ID]
		switch {
		case !waited || t.comesBy(it, w.Until):
		case it.Stock > had:
			return false, it.Spec.Name + " came: it need not wait any longer", nil
		default:
			return false, it.Spec.Name + " is not expected by then any more", nil
		}
	}
	return true, "", nil
}

// joins says why an open order does not go by a day; "" when it does.
func (t *Planning) joins(mark string, d *studio.Drawer, by calendar.Day) string {
	for _, o := range d.Orders {
		if o.Mark == mark {
			switch r := t.ReadyOn(o, d); {
			case r.Day.IsZero(), r.Day.After(by):
				return r.Why
			}
			return ""
		}
	}
	return "it is not open any more"
}

// comesBy reports whether pieces of an item are ordered that come by a day; what is overdue is not counted on.
func (t *Planning) comesBy(it studio.ShelfItem, day calendar.Day) bool {
	return it.Coming > 0 && !it.Expected.IsZero() && !it.Expected.Before(t.Today) && !it.Expected.After(day)
}

// Keeping reports whether what is kept for an order is kept on a day of hand-over; broken says why not although its day is not past. What is
// kept for an order that waits is kept as long as it waits; else until the order may be packed, when it is planned with all others.
func (t *Planning) Keeping(o order.Order, d *studio.Drawer, day calendar.Day) (keeps bool, broken string, err error) {
	w := o.Wait
	if w == nil || !w.Kept {
		return t.Waiting(o, d, day)
	}
	if w.Until.Before(t.HandOverDay(day)) {
		return false, "", nil
	}
	switch r := t.ReadyOn(o, d); {
	case r.Day.IsZero(), r.Day.After(w.Until):
		return false, "it does not go by " + w.Until.Short() + ": " + r.Why, nil
	case !r.Day.After(t.HandOverDay(t.Today)):
		return false, "", nil
	}
	for _, mark := range w.With {
		if why := t.joins(mark, d, w.Until); why != "" {
			return false, mark + " does not go with it by then: " + why, nil
		}
	}
	shelf, err := t.Shelf()
	if err != nil {
		return false, "", err
	}
	for _, it := range shelf {
		if it.Stock < w.Keeps[it.Spec.ID] {
			return false, fmt.Sprintf("%s: %d there", it.Spec.Name, it.Stock), nil
		}
	}
	return true, "", nil
}

// keep takes from what there is for a day the pieces that are kept for orders of later days; those of one order are left.
func (t *Planning) keep(r *dayplan.Means, d *studio.Drawer, day calendar.Day, but int64) error {
	for _, o := range d.Orders {
		if o.Wait == nil || len(o.Wait.Keeps) == 0 || o.ID == but {
			continue
		}
		keeps, _, err := t.Keeping(o, d, day)
		if err != nil {
			return err
		}
		for i, it := range r.Shelf {
			if n := o.Wait.Keeps[it.ID]; keeps && n > 0 {
				left := max(0, *it.Stock-n)
				r.Shelf[i].Stock, r.Left[it.ID] = &left, left
			}
		}
	}
	return nil
}

// ForDay is lines of an order as the planner sees them on a day of hand-over, what is asked of it beyond the rules, and what is equal for orders
// that may share its parcels, "" when none may.
func (t *Planning) ForDay(o order.Order, lines []order.Line, day calendar.Day) (po packing.Order, d front.Demand, with string, err error) {
	if po, err = t.packingOrder(o, lines, day); err == nil && t.Set.Combine {
		with, err = t.joinKey(o)
	}
	return po, demandOf(o), with, err
}
