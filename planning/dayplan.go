package planning

import (
	"solander/calendar"
	"solander/dayplan"
	"solander/order"
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
	if change != nil {
		change(&r)
	}
	day = t.HandOverDay(day)
	base, err := dayplan.NewBasis(t.Base(r, day), studio.CardsFor(r.Cards, t.Set, day))
	if err != nil {
		return dayplan.Ask{}, err
	}
	a := dayplan.Ask{Room: r, Base: base, Place: map[string]int{}}
	var keys []string
	for _, o := range d.Orders {
		lines, err := ToPack(o)
		if err != nil || o.MayLeave() != nil || !studio.AllIn(lines, d.Sheets.Has) {
			continue // the bench shows it in another group
		}
		po, err := t.packingOrder(o, lines, day)
		if err != nil {
			return a, err
		}
		a.Place[po.ID] = len(a.Orders)
		a.Ids, a.Orders = append(a.Ids, o.ID), append(a.Orders, po)
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

// Asked asks for an order alone and, when it may be packed, for all orders of its day.
func Asked(s *studio.Studio, t *Planning, d *studio.Drawer, o order.Order, lines []order.Line, day calendar.Day) (one dayplan.Question, all dayplan.Ask, err error) {
	if all, err = DayAskOf(s, t, d, day, nil); err != nil {
		return one, all, err
	}
	one, err = t.Question(all.Room, o, lines, t.HandOverDay(day))
	return one, all, err
}
