// Package renew makes the next price card from one that ended, and says how far a card is from what was paid.
//
// An operator's new list has thousands of prices, of which one studio uses a few dozen. So the cells that its parcels
// went by are typed from the operator's page, and the rest is carried over from the old card by one factor, and marked
// so, until somebody types it. Money is in minor units of the card, factors in ten-thousandths.
//
// The room reads no clock and no store: parcels, cards and days are arguments.
package renew

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/tariff"
)

// Cell names one price of a card: the service, the row of its table from 0, and the zone; no zone names the only column.
type Cell struct {
	Service string `json:"service"`
	Row     int    `json:"row"`
	Zone    string `json:"zone"`
}

// Step is the step of a cell in words ("1 lb 8 oz"), or "any" in a table of one price for each zone.
func (c Cell) Step(card *tariff.Card) string {
	s := card.Service(c.Service)
	if s == nil || c.Row >= len(s.Prices.Rows) {
		return ""
	}
	switch r := s.Prices.Rows[c.Row]; s.Prices.By {
	case tariff.ByMass:
		return r.Mass.String()
	case tariff.ByVolume:
		return r.Volume.String()
	}
	return "any"
}

// Text names a cell within its service: "1 lb, zone 4".
func (c Cell) Text(card *tariff.Card) string {
	if c.Zone == "" {
		return c.Step(card)
	}
	return c.Step(card) + ", zone " + c.Zone
}

// Price is the card's price of a cell, or NotCarried where it has none.
func (c Cell) Price(card *tariff.Card) tariff.Cell {
	s := card.Service(c.Service)
	if s == nil || c.Row >= len(s.Prices.Rows) {
		return tariff.NotCarried
	}
	at := column(&s.Prices, c.Zone)
	if at < 0 {
		return tariff.NotCarried
	}
	return s.Prices.Rows[c.Row].Prices[at]
}

// column is where a zone's prices stand, or -1.
func column(p *tariff.Prices, zone string) int {
	if len(p.Zones) == 0 {
		return 0
	}
	return slices.Index(p.Zones, zone)
}

// Sent are parcels that left: by what each was priced, what the card said of them together, and what was paid.
type Sent struct {
	Service, Zone   string
	Size            tariff.Size
	Billed          measure.Mass
	Parcels         int
	Estimated, Paid int64
}

// Used is a cell, the parcels that went by it, and what they came to.
type Used struct {
	Cell
	Parcels   int   `json:"parcels"`
	Estimated int64 `json:"estimated"`
	Paid      int64 `json:"paid"`
}

// Uses gathers parcels by the cell of the card that prices them, in the card's order: services, steps, zones. Parcels that
// the card has no cell for are counted apart.
func Uses(card *tariff.Card, sent []Sent) (uses []Used, apart int) {
	at := map[Cell]int{}
	for _, s := range sent {
		c, ok := cellOf(card, s)
		if !ok {
			apart += s.Parcels
			continue
		}
		i, known := at[c]
		if !known {
			i = len(uses)
			at[c] = i
			uses = append(uses, Used{Cell: c})
		}
		u := &uses[i]
		u.Parcels, u.Estimated, u.Paid = u.Parcels+s.Parcels, u.Estimated+s.Estimated, u.Paid+s.Paid
	}
	slices.SortFunc(uses, func(a, b Used) int { return order(card, a.Cell, b.Cell) })
	return uses, apart
}

func cellOf(card *tariff.Card, s Sent) (Cell, bool) {
	service := card.Service(s.Service)
	if service == nil {
		return Cell{}, false
	}
	c := Cell{Service: s.Service}
	if len(service.Prices.Zones) > 0 {
		c.Zone = s.Zone
	}
	row, ok := service.Prices.Step(s.Size, s.Billed)
	c.Row = row
	return c, ok && column(&service.Prices, c.Zone) >= 0
}

func order(card *tariff.Card, a, b Cell) int {
	place := func(id string) int {
		return slices.IndexFunc(card.Services, func(s tariff.Service) bool { return s.ID == id })
	}
	if n := cmp.Compare(place(a.Service), place(b.Service)); n != 0 {
		return n
	}
	if n := cmp.Compare(a.Row, b.Row); n != 0 {
		return n
	}
	p := &card.Service(a.Service).Prices
	return cmp.Compare(column(p, a.Zone), column(p, b.Zone))
}

// Factor is by how much prices rose, in ten-thousandths: 10 430 is × 1.043.
type Factor int64

// Same is the factor of prices that did not change.
const Same Factor = 10_000

// The factors that are taken: what is outside is a slip of the pen, not a price rise.
const (
	leastFactor = Same / 2
	mostFactor  = Same * 3
)

// String writes the factor with as many decimals as it has: "1.043".
func (f Factor) String() string {
	s := strings.TrimRight(fmt.Sprintf("%d.%04d", f/Same, f%Same), "0")
	return strings.TrimSuffix(s, ".")
}

// Of is a price times the factor, to the nearest minor unit, halves up.
func (f Factor) Of(price tariff.Cell) tariff.Cell {
	if price == tariff.NotCarried {
		return price
	}
	return tariff.Cell((int64(price)*int64(f) + int64(Same)/2) / int64(Same))
}

// ratio is a / b as a factor, to the nearest; Same when b is nothing.
func ratio(a, b int64) Factor {
	if b <= 0 {
		return Same
	}
	return Factor((a*int64(Same) + b/2) / b)
}

// Draft is what the next card is made of.
type Draft struct {
	ID     string       // of the new card
	From   calendar.Day // its first day
	Source string       // where the typed prices were read
	Who    string       // who typed them
	Factor Factor       // for what is carried over
	Typed  map[Cell]tariff.Cell
}

// Next makes the card that follows an old one: the same services, limits and fees; the typed prices, and every other price
// times the factor, marked as carried over. Surcharges, cover and signature are kept as they were: their sources say of when
// they are. Faults: Invalid, all that is wrong, each cell named.
func Next(old *tariff.Card, d Draft) (tariff.Card, error) {
	if err := d.check(old); err != nil {
		return tariff.Card{}, err
	}
	c := *old
	c.ID, c.From, c.To = d.ID, d.From, calendar.Day{}
	c.Source, c.Status = d.Source, "secondary"
	c.Note = fmt.Sprintf("Typed by %s: %s of %s. All else is carried over from %s × %s.", d.Who, fault.Count(len(d.Typed), "price"), d.Source, old.ID, d.Factor)
	c.Services = slices.Clone(old.Services)
	for i := range c.Services {
		s := &c.Services[i]
		s.Prices.Rows = slices.Clone(s.Prices.Rows)
		for row := range s.Prices.Rows {
			d.row(s, row)
		}
	}
	return c, c.Check("")
}

// row fills one row of the new card.
func (d *Draft) row(s *tariff.Service, at int) {
	r := &s.Prices.Rows[at]
	zones := s.Prices.Zones
	if len(zones) == 0 {
		zones = []string{""}
	}
	r.Prices, r.Carried = slices.Clone(r.Prices), nil
	r.Source, r.Status = d.Source, "secondary"
	for i, zone := range zones {
		if typed, ok := d.Typed[Cell{s.ID, at, zone}]; ok {
			r.Prices[i] = typed
			continue
		}
		if r.Prices[i] = d.Factor.Of(r.Prices[i]); r.Prices[i] != tariff.NotCarried {
			r.Carried = append(r.Carried, zone)
		}
	}
}

func (d *Draft) check(old *tariff.Card) error {
	var l fault.List
	l.Check(strings.TrimSpace(d.Source) != "", "source", "is missing", "say where the prices stand: the operator's page or list, and its day")
	l.Check(strings.TrimSpace(d.Who) != "", "who", "is missing", "say who typed the prices")
	l.Check(d.ID != "" && d.ID != old.ID, "id", "must be another than the old card's", "name the new card after its first day")
	l.Check(d.From.After(old.From), "from", fmt.Sprintf("is not after %s, the first day of the old card", old.From), "take the day from which the new prices hold")
	l.Check(d.Factor >= leastFactor && d.Factor <= mostFactor, "factor", fmt.Sprintf("%s is no rise of prices", d.Factor), fmt.Sprintf("take one from %s to %s; 1 leaves them as they are", leastFactor, mostFactor))
	for c := range d.Typed {
		if c.Price(old) == tariff.NotCarried {
			l.Add(fault.Invalidf("typed", "%s, step %d, zone %q: the old card has no such price", c.Service, c.Row+1, c.Zone).ToMend("type prices of the table's own cells; load a card file for a new step"))
		}
	}
	return l.Err()
}

// ParseFactor reads "1.043", "1,043" or "+4.3 %"; empty is 0. Faults: Invalid.
func ParseFactor(typed string) (Factor, error) {
	s := strings.ReplaceAll(strings.TrimSpace(typed), ",", ".")
	if s == "" {
		return 0, nil
	}
	percent := strings.HasSuffix(s, "%")
	s = strings.TrimSpace(strings.TrimSuffix(s, "%"))
	r, ok := new(big.Rat).SetString(s)
	if !ok || strings.ContainsAny(s, "/eE") || len(s) > 10 {
		return 0, fault.New(fault.Invalid, "%.20q is no factor", typed).ToMend("write it like 1.043 or +4.3 %%")
	}
	if percent {
		r.Add(r.Quo(r, big.NewRat(100, 1)), big.NewRat(1, 1))
	}
	r.Mul(r, big.NewRat(int64(Same), 1))
	if !r.IsInt() {
		return 0, fault.New(fault.Invalid, "%.20q has more than four decimals", typed).ToMend("round it")
	}
	f := Factor(r.Num().Int64())
	if f < leastFactor || f > mostFactor {
		return 0, fault.New(fault.Invalid, "× %.20s is no rise of prices", typed).ToMend("take one from %s to %s; 1 leaves them as they are", leastFactor, mostFactor)
	}
	return f, nil
}
