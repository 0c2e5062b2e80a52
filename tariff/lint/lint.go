// Package lint looks a price card over before it is relied on: what it must not hold, alone and beside the cards that
// there are, what is possible but looks like a slip of the pen, and, cell by cell, in what it differs from another card.
// Money is in minor units of the card's currency. It prices nothing and changes nothing.
package lint

import (
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/tariff"
)

// Finding is something to look at. Cell names the place in words ("zone 5, up to 4 oz"), "" when it is the card.
type Finding struct {
	Kind    string `json:"kind"` // "hole", "weight dip", "zone dip", "shape dip", "gap", "missing zone", "dates", "currency"
	Service string `json:"service,omitempty"`
	Zone    string `json:"zone,omitempty"`
	Step    string `json:"step,omitempty"`
	Cell    string `json:"cell"`
	Text    string `json:"text"`
	Mend    string `json:"mend"`
}

// Where is the place of a finding with its service.
func (f Finding) Where() string {
	return strings.Trim(f.Service+", "+f.Cell, ", ")
}

// Refuses says why a card may not stand beside others in a studio whose money is that currency ("" = not known).
// Faults: Invalid, everything that is wrong with the card itself, and another currency; Taken when another card of its
// series has the same first day, so that nobody could say which holds.
func Refuses(c *tariff.Card, others []tariff.Card, currency string) error {
	if err := c.Check(""); err != nil {
		return err
	}
	if currency != "" && c.Currency != currency {
		return fault.Invalidf("currency", "the card is in %s, the studio's money is %s: no plan could use it", c.Currency, currency).At("%s", c.ID).
			ToMend("correct the currency, or load it into a studio that is paid in %s", c.Currency)
	}
	for i := range others {
		if o := &others[i]; o.ID != c.ID && o.Series == c.Series && o.From == c.From {
			return fault.New(fault.Taken, "card %s of the series holds from the same day", o.ID).At("%s", c.ID).In("from").ToMend("drop that card first, or correct the first day")
		}
	}
	return nil
}

// Doubts returns what is possible in a card but looks like a slip. The card passes its Check. None does not prove it right.
func Doubts(c *tariff.Card, others []tariff.Card) []Finding {
	var out []Finding
	for _, s := range c.Suspicions() {
		out = append(out, Finding{Kind: s.Kind, Service: s.Service, Zone: s.Zone, Step: s.Step, Cell: s.Cell(), Text: s.Text, Mend: s.Mend})
	}
	return append(append(out, overlaps(c, others)...), foreignMoney(c)...)
}

// overlaps finds cards of the series that say that they hold on days which this one claims, too. A card without a last day
// just ends when the next begins.
func overlaps(c *tariff.Card, others []tariff.Card) []Finding {
	var out []Finding
	for i := range others {
		o := &others[i]
		if o.ID == c.ID || o.Series != c.Series || o.From == c.From {
			continue
		}
		first, second := o, c
		if c.From.Before(o.From) {
			first, second = c, o
		}
		if first.To.IsZero() || first.To.Before(second.From) {
			continue
		}
		last := first.To
		if !second.To.IsZero() && second.To.Before(last) {
			last = second.To
		}
		out = append(out, Finding{
			Kind: "dates", Cell: "from " + second.From.Long() + " to " + last.Long(),
			Text: fmt.Sprintf("these days are held by %s, too; plans go by %s, which begins later", o.ID, second.ID),
			Mend: "let the earlier card end on " + dayBefore(second.From).Long() + ", or correct the first day of the later one",
		})
	}
	return out
}

func dayBefore(d calendar.Day) calendar.Day { return d.Add(-1) }

// foreignMoney finds countries in which the card's parcels start and which pay in another currency.
func foreignMoney(c *tariff.Card) []Finding {
	var homes []string
	for i := range c.Services {
		s := &c.Services[i]
		if s.Abroad != nil && !*s.Abroad {
			homes = append(homes, s.Countries...)
		}
	}
	for i := range c.Zones {
		if at := c.Zones[i].Origin.Country; at != "" {
			homes = append(homes, at)
		}
	}
	slices.Sort(homes)
	var out []Finding
	for _, h := range slices.Compact(homes) {
		if own, ok := money.OfCountry(h); ok && own != c.Currency {
			out = append(out, Finding{
				Kind: "currency", Cell: "currency", Text: fmt.Sprintf("its parcels start in %s, where %s is paid, and its prices are in %s", h, own, c.Currency),
				Mend: "correct the currency, or the country",
			})
		}
	}
	return out
}
