package planning

import (
	"fmt"
	"slices"
	"strconv"

	"solander/bench"
	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/measure"
	"solander/order"
	"solander/packing"
	"solander/stockroom"
	"solander/studio"
)

// MeansOf reads what planning needs beside the orders.
func MeansOf(s *studio.Studio, t *Planning) (dayplan.Means, error) {
	r := dayplan.Means{Left: map[string]int{}, Retired: map[string]bool{}, Ids: map[string]int64{}}
	items, err := t.Shelf()
	if err != nil {
		return r, err
	}
	used, err := stockroom.In(t.Turn).PackedUse()
	if err != nil {
		return r, err
	}
	for _, it := range items {
		left := max(0, it.Stock-used[it.Spec.ID])
		if it.Retired {
			left = 0 // wraps may still name it
		}
		it.Spec.Stock = &left
		r.Left[it.Spec.ID], r.Retired[it.Spec.ID], r.Ids[it.Spec.ID] = left, it.Retired, it.ID
		r.Shelf = append(r.Shelf, it.Spec)
	}
	cards, err := s.AllCards(t.Turn)
	r.Cards = s.WithZones(cards, studio.PlaceOf(t.Set.Address), t.Set.Zones)
	return r, err
}

// holidaysAhead is for how many days after hand-over the days without delivery are named: longer than
// any service is on its way.
const holidaysAhead = 120

// HandOverDay is the day a plan counts from: the day asked for or today, moved to the next working day.
func (t *Planning) HandOverDay(asked calendar.Day) calendar.Day {
	return t.Working.Add(studio.Latest(asked, t.Today), 0)
}

// Question asks for the cheapest way to send lines of an order alone: the shelf is what packed parcels
// leave, the cards those that hold on the day, their zone tables cut down to the rows of this way.
func (t *Planning) Question(r dayplan.Means, o order.Order, lines []order.Line, day calendar.Day) (dayplan.Question, error) {
	po, err := t.packingOrder(o, lines, day)
	if err != nil {
		return dayplan.Question{}, err
	}
	base, err := dayplan.NewBasis(t.Base(r, day), studio.CardsFor(r.Cards, t.Set, day))
	if err != nil {
		return dayplan.Question{}, err
	}
	return base.Alone(po)
}

// packingOrder is lines of an order as the planner sees them. The sheet of a line goes by the line's id. A
// wish to arrive by a day that is past is left out.
func (t *Planning) packingOrder(o order.Order, lines []order.Line, day calendar.Day) (packing.Order, error) {
	po := packing.Order{ID: o.Mark, Destination: studio.PlaceOf(o.ShipTo)}
	if !o.ArriveBy.Before(day) {
		po.ArriveBy = o.ArriveBy
	}
	for _, l := range lines {
		sheet, err := t.Sheet(l)
		if err != nil {
			return po, err
		}
		po.Sheets = append(po.Sheets, sheet)
	}
	return po, nil
}

// Base is a problem of a day without orders and cards.
func (t *Planning) Base(r dayplan.Means, day calendar.Day) packing.Problem {
	return packing.Problem{
		Format: packing.ProblemFormat, Currency: t.Set.Currency, Day: day, Holidays: t.holidays(day),
		Origin:       studio.PlaceOf(t.Set.Address),
		PriceClasses: t.Set.PriceClasses, Shelf: r.Shelf, Wraps: t.Set.Wraps, Rules: t.Set.Rules,
		Margin: t.Set.Margin, Options: packing.Options{MinuteWage: t.Set.MinuteWage},
	}
}

// Sheet is the print of a line as the planner knows it.
func (t *Planning) Sheet(l order.Line) (packing.Sheet, error) {
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return packing.Sheet{}, err
	}
	s := packing.Sheet{
		ID: studio.SheetID(l.ID), Note: studio.Named(l.Number.Of(e), e.Title), Width: e.Width, Height: e.Height, Caliper: e.Caliper, Grammage: e.Grammage,
		Copies: 1, Value: l.Price.Minor, Grade: e.Grade,
	}
	if e.TightestRoll > 0 {
		s.Roll = &packing.Roll{Tightest: e.TightestRoll}
	}
	return s, nil
}

// Bare is what a planned parcel of orders weighs without the margin of the settings that it was planned by, and its wrap by itself of that.
func (t *Planning) Bare(planned packing.Parcel, orders []order.Order) (bare, own measure.Mass, err error) {
	p := packing.Problem{Margin: t.Set.Margin}
	for _, o := range orders {
		po := packing.Order{ID: o.Mark}
		for _, l := range o.Lines {
			if !slices.ContainsFunc(planned.Contents, func(c packing.Content) bool { return c.Order == o.Mark && c.Sheet == studio.SheetID(l.ID) }) {
				continue
			}
			sheet, err := t.Sheet(l)
			if err != nil {
				return 0, 0, err
			}
			po.Sheets = append(po.Sheets, sheet)
		}
		p.Orders = append(p.Orders, po)
	}
	for _, w := range t.Set.Wraps {
		if w.ID == planned.Wrap {
			own = w.Mass
		}
	}
	return p.Bare(&planned), own, nil
}

// LinesIn returns the lines whose sheets are in a planned parcel.
func LinesIn(p packing.Parcel) ([]int64, error) {
	var out []int64
	for _, c := range p.Contents {
		id, err := strconv.ParseInt(c.Sheet, 10, 64)
		if err != nil {
			return nil, fmt.Errorf("planned sheet %q is no order line: %w", c.Sheet, err)
		}
		out = append(out, id)
	}
	return out, nil
}

func (t *Planning) holidays(from calendar.Day) []calendar.Day {
	var out []calendar.Day
	for d := from; d.Sub(from) <= holidaysAhead; d = d.Add(1) {
		if t.Working.Holiday(d) != "" {
			out = append(out, d)
		}
	}
	return out
}

// ToPack returns the pending lines of an order that lie in no parcel. Faults: Refused when there are none, or it is
// handed over in person.
func ToPack(o order.Order) ([]order.Line, error) {
	if err := studio.StillOpen(o); err != nil {
		return nil, err
	}
	if o.InPerson {
		return nil, fault.New(fault.Refused, "it is handed over in person, without a parcel").At("%s", o.Mark).ToMend("mark it handed over, or say that it is sent after all")
	}
	var out []order.Line
	for _, l := range bench.Pending(o) {
		if l.Parcel == 0 {
			out = append(out, l)
		}
	}
	if len(out) == 0 {
		return nil, fault.New(fault.Refused, "every print of it is packed").At("%s", o.Mark)
	}
	return out, nil
}
