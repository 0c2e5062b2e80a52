package demo

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"solander/address"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff"
)

// packer plans the parcels of the past with the studio's planner. Orders of the same prints into the
// same zones are packed alike, so each such case is planned once.
type packer struct {
	ctx      context.Context
	studio   *studio.Studio
	settings studio.Settings
	cards    []tariff.Card
	items    map[string]*studio.ShelfItem // by key
	shelf    []packing.Item
	editions map[int64]edition.Edition
	known    map[string]packing.Plan
}

// cardDay is the day whose price cards plan a day: cards of the bundled kind before the oldest one are
// not known, so it lends its prices to all that came before.
func (p *packer) cardDay(d calendar.Day) calendar.Day {
	first := calendar.Latest
	for _, c := range p.using() {
		if c.From.Before(first) {
			first = c.From
		}
	}
	if d.Before(first) {
		return first
	}
	return d
}

// using are the cards of the studio's price classes.
func (p *packer) using() []tariff.Card {
	var out []tariff.Card
	for _, c := range p.cards {
		for _, class := range p.settings.PriceClasses {
			if c.PriceClass == class {
				out = append(out, c)
			}
		}
	}
	return out
}

// zones names the zones in which a place lies, by every card that holds on a day.
func (p *packer) zones(day calendar.Day, to tariff.Place) string {
	var b strings.Builder
	from := p.origin()
	for _, c := range tariff.Select(p.cards, p.settings.PriceClasses, day) {
		b.WriteString(c.ID)
		for _, t := range c.Zones {
			zone := "-"
			if c.Table(t.Name, from) != nil {
				if row := c.Table(t.Name, from).Find(to); row != nil {
					zone = row.Zone
				}
			}
			b.WriteString(" " + zone)
		}
		b.WriteByte(';')
	}
	return b.String()
}

func (p *packer) origin() tariff.Place {
	return tariff.Place{Country: p.settings.Address.Country, Postcode: p.settings.Address.Postcode}
}

// parcels plans an order for hand-over on a day.
func (p *packer) parcels(day calendar.Day, o order.Order) ([]studio.Parcel, error) {
	lines := append([]order.Line(nil), o.Lines...)
	sort.SliceStable(lines, func(i, j int) bool { return lines[i].Edition < lines[j].Edition })
	plan, err := p.plan(p.cardDay(day), o, lines)
	if err != nil {
		return nil, err
	}
	var out []studio.Parcel
	for _, x := range plan.Parcels {
		parcel, err := p.parcel(o, lines, x)
		if err != nil {
			return nil, err
		}
		for _, w := range plan.Warnings {
			parcel.Warnings = append(parcel.Warnings, w.Text)
		}
		out = append(out, parcel)
	}
	return out, nil
}

func (p *packer) plan(day calendar.Day, o order.Order, lines []order.Line) (packing.Plan, error) {
	to := tariff.Place{Country: address.Home(o.ShipTo.Country), Postcode: o.ShipTo.Postcode}
	key := p.zones(day, to) + to.Country
	for _, l := range lines {
		key += fmt.Sprintf(" %d=%d", l.Edition, l.Price.Minor)
	}
	if known, ok := p.known[key]; ok {
		return known, nil
	}
	plan, err := planning.PlanProblem(p.ctx, p.studio, p.problem(day, o, to, lines))
	if err != nil {
		return plan, err
	}
	if plan.Held > 0 {
		return plan, fault.New(fault.Refused, "the demo's own shelf cannot pack this: %s", plan.Orders[0].Reason.Text).At("%s", o.Mark)
	}
	p.known[key] = plan
	return plan, nil
}

func (p *packer) problem(day calendar.Day, o order.Order, to tariff.Place, lines []order.Line) packing.Problem {
	q := packing.Order{ID: o.Mark, Destination: to}
	for i, l := range lines {
		e := p.editions[l.Edition]
		s := packing.Sheet{
			ID: strconv.Itoa(i), Width: e.Width, Height: e.Height, Caliper: e.Caliper, Grammage: e.Grammage, Copies: 1,
			Value: l.Price.Minor, Grade: e.Grade,
		}
		if e.TightestRoll > 0 {
			s.Roll = &packing.Roll{Tightest: e.TightestRoll}
		}
		q.Sheets = append(q.Sheets, s)
	}
	none := 0 // nobody asks any more what else was tried
	return packing.Problem{
		Format: packing.ProblemFormat, Currency: currency, Day: day, Origin: p.origin(), PriceClasses: p.settings.PriceClasses,
		Orders: []packing.Order{q}, Shelf: p.shelf, Wraps: p.settings.Wraps, Rules: p.settings.Rules, Cards: p.oneWay(day, to),
		Options: packing.Options{MinuteWage: p.settings.MinuteWage, RejectedMost: &none},
	}
}

// oneWay returns the cards that hold on a day, with the zones of one way alone: whole charts would be
// checked anew for every plan.
func (p *packer) oneWay(day calendar.Day, to tariff.Place) []tariff.Card {
	var out []tariff.Card
	for _, c := range tariff.Select(p.cards, p.settings.PriceClasses, day) {
		out = append(out, c.OneWay(p.origin(), to))
	}
	return out
}

// parcel makes the studio's parcel of a planned one: the plan's sheets become the order's lines.
func (p *packer) parcel(o order.Order, lines []order.Line, x packing.Parcel) (studio.Parcel, error) {
	out := studio.Parcel{Order: o.ID, Plan: x, Service: x.Service, Estimated: money.Of(postageOf(x), currency)}
	out.Plan.Order = o.Mark
	out.Plan.Contents = nil
	for _, c := range x.Contents {
		id, err := lineOf(lines, c.Sheet)
		if err != nil {
			return out, err
		}
		out.Lines = append(out.Lines, id)
		out.Plan.Contents = append(out.Plan.Contents, packing.Content{Order: o.Mark, Sheet: strconv.FormatInt(id, 10), Copies: c.Copies})
	}
	out.Plan.Layers = slices.Clone(x.Layers)
	for i, layer := range x.Layers {
		if layer.Sheet == "" {
			continue
		}
		id, err := lineOf(lines, layer.Sheet)
		if err != nil {
			return out, err
		}
		out.Plan.Layers[i].Sheet = strconv.FormatInt(id, 10)
	}
	return out, nil
}

// lineOf finds the line that a sheet of the problem stands for.
func lineOf(lines []order.Line, sheet string) (int64, error) {
	i, err := strconv.Atoi(sheet)
	if err != nil || i < 0 || i >= len(lines) {
		return 0, fmt.Errorf("a plan holds sheet %q", sheet)
	}
	return lines[i].ID, nil
}

// postageOf is what of a parcel's cost goes to the operator.
func postageOf(x packing.Parcel) int64 {
	sum := int64(0)
	for _, l := range x.Lines {
		if l.OfCard() {
			sum += l.Amount
		}
	}
	return sum
}

func newPacker(ctx context.Context, st *studio.Studio, set studio.Settings, cards []tariff.Card) (*packer, error) {
	p := &packer{
		ctx: ctx, studio: st, settings: set, cards: cards, items: map[string]*studio.ShelfItem{},
		editions: map[int64]edition.Edition{}, known: map[string]packing.Plan{},
	}
	shelf, err := stockroom.Shelf(ctx, st)
	if err != nil {
		return nil, err
	}
	for i := range shelf {
		spec := shelf[i].Spec
		spec.Stock = nil
		p.shelf = append(p.shelf, spec)
		p.items[spec.ID] = &shelf[i]
	}
	return p, nil
}
