package planning

import (
	"slices"

	"solander/calendar"
	"solander/dayplan"
	"solander/order"
	"solander/packing/front"
	"solander/studio"
)

// DayAsk reads the orders that may be packed on a day; the zero day is today. change may alter what is on
// the shelf.
func DayAsk(s *studio.Studio, t *Planning, day calendar.Day, change func(*dayplan.Means)) (dayplan.Ask, error) {
	d, err := t.Drawer()
	if err != nil {
		return dayplan.Ask{}, err
	}
	return DayAskOf(s, t, d, day, change)
}

// DayAskOf gathers what is asked for a day: its open orders, what there is for them, and the rules; change may alter what there is.
func DayAskOf(s *studio.Studio, t *Planning, d *studio.Drawer, day calendar.Day, change func(*dayplan.Means)) (dayplan.Ask, error) {
	r, err := MeansOf(s, t)
	if err != nil {
		return dayplan.Ask{}, err
	}
	day = t.HandOverDay(day)
	if err := t.keep(&r, d, day, 0); err != nil {
		return dayplan.Ask{}, err
	}
	if change != nil {
		change(&r)
	}
	base, err := dayplan.NewBasis(t.Base(r, day), studio.CardsFor(r.Cards, t.Set, day))
	if err != nil {
		return dayplan.Ask{}, err
	}
	a := dayplan.Ask{Room: r, Base: base, SetUps: dayplan.SetUps{Money: t.Set.SetUpMoney}}
	if a.SetUps.Ready, err = t.madeToday(); err != nil {
		return a, err
	}
	var keys []string
	for _, o := range d.Orders {
		lines, err := ToPack(o)
		if err != nil || !studio.AllIn(lines, d.Sheets.Has) || o.MayLeave() != nil {
			continue // the bench shows it in another group
		}
		if waits, _, err := t.Waiting(o, d, day); err != nil || waits {
			if err != nil {
				return a, err
			}
			continue
		}
		po, err := t.packingOrder(o, lines, day)
		if err != nil {
			return a, err
		}
		a.Add(o.ID, po, demandOf(o))
		if t.Set.Combine {
			key, err := t.joinKey(o)
			if err != nil {
				return a, err
			}
			keys = append(keys, key)
		}
	}
	a.Join(keys)
	return a, nil
}

// madeToday are the wraps of parcels that were packed today and are still in the house: what they are made of lies out.
func (t *Planning) madeToday() ([]string, error) {
	parcels, err := t.OpenParcels()
	var out []string
	for _, p := range parcels {
		if p.Packed == t.Today && !slices.Contains(out, p.Plan.Wrap) {
			out = append(out, p.Plan.Wrap)
		}
	}
	slices.Sort(out)
	return out, err
}

// Asked asks for an order alone and, when it may be packed, for all orders of its day.
func Asked(s *studio.Studio, t *Planning, d *studio.Drawer, o order.Order, lines []order.Line, day calendar.Day) (one, all dayplan.Ask, err error) {
	if all, err = DayAskOf(s, t, d, day, nil); err != nil {
		return one, all, err
	}
	po, err := t.packingOrder(o, lines, t.HandOverDay(day))
	if err != nil {
		return one, all, err
	}
	one = dayplan.Ask{Room: all.Room, Base: all.Base}
	if o.Wait != nil && len(o.Wait.Keeps) > 0 { // what is kept for it is its own
		r, err := MeansOf(s, t)
		if err == nil {
			err = t.keep(&r, d, day, o.ID)
		}
		if err != nil {
			return one, all, err
		}
		if one.Base, err = dayplan.NewBasis(t.Base(r, all.Base.Day), studio.CardsFor(r.Cards, t.Set, all.Base.Day)); err != nil {
			return one, all, err
		}
		one.Room = r
	}
	one.Add(o.ID, po, demandOf(o))
	one.Join(nil)
	return one, all, nil
}

// Alone asks for lines of an order as if nothing else lay on the bench.
func Alone(s *studio.Studio, t *Planning, o order.Order, lines []order.Line, day calendar.Day) (dayplan.Ask, error) {
	r, err := MeansOf(s, t)
	if err != nil {
		return dayplan.Ask{}, err
	}
	day = t.HandOverDay(day)
	base, err := dayplan.NewBasis(t.Base(r, day), studio.CardsFor(r.Cards, t.Set, day))
	if err != nil {
		return dayplan.Ask{}, err
	}
	po, err := t.packingOrder(o, lines, day)
	one := dayplan.Ask{Room: r, Base: base}
	one.Add(o.ID, po, demandOf(o))
	one.Join(nil)
	return one, err
}

// demandOf is what the choice of its artist asks of an order.
func demandOf(o order.Order) front.Demand {
	if o.Choice == nil {
		return front.Demand{}
	}
	return front.Demand{ArriveBy: o.Choice.ArriveBy, Protection: front.Protection{Packaging: front.Packaging(o.Choice.Packaging), Care: front.Care(o.Choice.Care)}}
}
