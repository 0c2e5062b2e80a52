package renew

import (
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/tariff"
)

// TableDraft puts a whole table of prices into a card, in the place of a service's.
type TableDraft struct {
	Service string // whose table it is
	Prices  tariff.Prices
	ID      string       // of the card that it makes; the old card's: the table is put into that one
	From    calendar.Day // first day of another card
	To      calendar.Day // its last day; none: open
	Source  string       // where the table was read
	Who     string       // who took it in
}

// WithTable makes a card in which a service has another table: the same card, or the one that follows it, with everything else carried
// over as it was and marked so. How sides are rounded before they are multiplied stays. Faults: Invalid, all that is wrong.
func WithTable(old *tariff.Card, d TableDraft) (tariff.Card, error) {
	at := slices.IndexFunc(old.Services, func(s tariff.Service) bool { return s.ID == d.Service })
	if at < 0 {
		return tariff.Card{}, fault.Invalidf("service", "the card has no service %.60q", d.Service).ToMend("choose one of its services")
	}
	var l fault.List
	l.Check(strings.TrimSpace(d.Source) != "", "source", "is missing", "say where the prices stand: the operator's page or list, and its day")
	l.Check(strings.TrimSpace(d.Who) != "", "who", "is missing", "say who took the table in")
	if err := l.Err(); err != nil {
		return tariff.Card{}, err
	}
	was, c := &old.Services[at].Prices, *old
	if d.ID != old.ID {
		next, err := Next(old, Draft{ID: d.ID, From: d.From, Source: d.Source, Who: d.Who, Factor: Same})
		if err != nil {
			return c, err
		}
		next.To, c = d.To, next
		c.Note = fmt.Sprintf("%s: prices of %s, taken in by %s. All else is carried over from %s as it was.", old.Services[at].Name, d.Source, d.Who, old.ID)
	}
	c.Services = slices.Clone(c.Services)
	c.Services[at].Prices = sourced(d.Prices, was, d.Source)
	return c, c.Check("")
}

// sourced is a table with the source of each of its rows.
func sourced(p tariff.Prices, was *tariff.Prices, source string) tariff.Prices {
	if was != nil && was.By == p.By {
		p.Round = was.Round
	}
	p.Rows = slices.Clone(p.Rows)
	for i := range p.Rows {
		p.Rows[i].Source, p.Rows[i].Status, p.Rows[i].Carried = source, "secondary", nil
	}
	return p
}

// NewCard makes a card of a table alone, with the head and the service given; the zones that they need are theirs already.
// Faults: Invalid, all that is wrong.
func NewCard(head tariff.Card, s tariff.Service, p tariff.Prices, who string) (tariff.Card, error) {
	s.Prices = sourced(p, nil, head.Source)
	head.Status, head.Services = "secondary", []tariff.Service{s}
	head.Note = fmt.Sprintf("Taken in by %s from %s.", who, head.Source)
	var l fault.List
	l.Check(len(p.Zones) == 0 || s.Zones != "", "zones", "the prices differ by zone, and nothing says which zone a place is in", "take the zones of a service that has the same, or one column alone as the zone *")
	l.Check(strings.TrimSpace(who) != "", "who", "is missing", "say who took the table in")
	l.Add(head.Check(""))
	return head, l.Err()
}
