package studio

import (
	"fmt"
	"strconv"

	"solander/address"
	"solander/bench"
	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/tariff"
)

// question is a problem of the planner with the key of its answer in the cache. Its cards are cut down to what
// concerns it only when they are needed: most answers are remembered.
type question struct {
	problem packing.Problem // without cards
	cards   []card
	cut     func(tariff.Card) tariff.Card
	key     digest
}

// whole is the problem with its cards.
func (q question) whole() packing.Problem {
	p := q.problem
	p.Cards = make([]tariff.Card, len(q.cards))
	for i, c := range q.cards {
		p.Cards[i] = q.cut(c.Card)
	}
	return p
}

// stockroom is what planning needs of the studio beside the order, read once for many orders.
type stockroom struct {
	shelf   []packing.Item // with the stock that is not in packed parcels
	left    map[string]int // that stock, by the item's key
	retired map[string]bool
	ids     map[string]int64 // of the shelf items, by key
	cards   []card
}

func (s *Studio) stockroom(t *turn) (stockroom, error) {
	r := stockroom{left: map[string]int{}, retired: map[string]bool{}, ids: map[string]int64{}}
	items, err := t.Shelf()
	if err != nil {
		return r, err
	}
	used, err := t.packedUse()
	if err != nil {
		return r, err
	}
	for _, it := range items {
		left := max(0, it.Stock-used[it.Spec.ID])
		if it.Retired {
			left = 0 // wraps may still name it
		}
		it.Spec.Stock = &left
		r.left[it.Spec.ID], r.retired[it.Spec.ID], r.ids[it.Spec.ID] = left, it.Retired, it.ID
		r.shelf = append(r.shelf, it.Spec)
	}
	cards, err := s.allCards(t)
	r.cards = s.withZones(cards, tariff.Place{Country: address.Home(t.set.Address.Country), Postcode: t.set.Address.Postcode})
	return r, err
}

// holidaysAhead is for how many days after hand-over the days without delivery are named: longer than
// any service is on its way.
const holidaysAhead = 120

// handOverDay is the day a plan counts from: the day asked for or today, moved to the next working day.
func (t *turn) handOverDay(asked calendar.Day) calendar.Day {
	return t.working.Add(latest(asked, t.today), 0)
}

// question asks for the cheapest way to send lines of an order alone: the shelf is what packed parcels
// leave, the cards those that hold on the day, their zone tables cut down to the rows of this way.
func (t *turn) question(r stockroom, o order.Order, lines []order.Line, day calendar.Day) (question, error) {
	po, err := t.packingOrder(o, lines, day)
	if err != nil {
		return question{}, err
	}
	base, err := newBasis(t.base(r, day), cardsFor(r.cards, t.set, day))
	if err != nil {
		return question{}, err
	}
	return base.alone(po)
}

// packingOrder is lines of an order as the planner sees them. The sheet of a line goes by the line's id. A
// wish to arrive by a day that is past is left out.
func (t *turn) packingOrder(o order.Order, lines []order.Line, day calendar.Day) (packing.Order, error) {
	po := packing.Order{ID: o.Mark, Destination: tariff.Place{Country: address.Home(o.ShipTo.Country), Postcode: o.ShipTo.Postcode}}
	if !o.ArriveBy.Before(day) {
		po.ArriveBy = o.ArriveBy
	}
	for _, l := range lines {
		sheet, err := t.sheet(l)
		if err != nil {
			return po, err
		}
		po.Sheets = append(po.Sheets, sheet)
	}
	return po, nil
}

// base is a problem of a day without orders and cards.
func (t *turn) base(r stockroom, day calendar.Day) packing.Problem {
	return packing.Problem{
		Format: packing.ProblemFormat, Currency: t.set.Currency, Day: day, Holidays: t.holidays(day),
		Origin:       tariff.Place{Country: address.Home(t.set.Address.Country), Postcode: t.set.Address.Postcode},
		PriceClasses: t.set.PriceClasses, Shelf: r.shelf, Wraps: t.set.Wraps, Rules: t.set.Rules,
		Options: packing.Options{MinuteWage: t.set.MinuteWage},
	}
}

func (t *turn) sheet(l order.Line) (packing.Sheet, error) {
	e, err := t.edition(l.Edition)
	if err != nil {
		return packing.Sheet{}, err
	}
	s := packing.Sheet{
		ID: sheetID(l.ID), Note: named(l.Number.Of(e), e.Title), Width: e.Width, Height: e.Height, Caliper: e.Caliper, Grammage: e.Grammage,
		Copies: 1, Value: l.Price.Minor, Grade: e.Grade,
	}
	if e.TightestRoll > 0 {
		s.Roll = &packing.Roll{Tightest: e.TightestRoll}
	}
	return s, nil
}

func sheetID(line int64) string { return strconv.FormatInt(line, 10) }

// linesIn returns the lines whose sheets are in a planned parcel.
func linesIn(p packing.Parcel) ([]int64, error) {
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

func (t *turn) holidays(from calendar.Day) []calendar.Day {
	var out []calendar.Day
	for d := from; d.Sub(from) <= holidaysAhead; d = d.Add(1) {
		if t.working.Holiday(d) != "" {
			out = append(out, d)
		}
	}
	return out
}

// toPack returns the pending lines of an order that lie in no parcel. Faults: Refused when there are none, or it is
// handed over in person.
func toPack(o order.Order) ([]order.Line, error) {
	if err := stillOpen(o); err != nil {
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
