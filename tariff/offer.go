package tariff

import (
	"fmt"
	"slices"
	"strings"

	"solander/measure"
)

// Offer is a service of a card for one origin and destination: its zone and column are found.
type Offer struct {
	Card    *Card
	Service *Service
	Zone    string
	// Estimated reports that the zone stands in an estimated table.
	Estimated bool

	most   measure.Mass // of the zone's row; 0 = not limited
	column []Cell       // the zone's prices, one for each row
	limits []string     // rule name of each limit
	volume []wide       // ByVolume: the steps in nm³
	called string       // how the line of its postage begins: all but the step
}

// NewOffer looks a service up for a way, or says which rule forbids it (docs/formats/tariff.md, section
// 9, rules 1 and 2).
func NewOffer(c *Card, s *Service, from, to Place) (*Offer, *Reason) {
	if why := s.Serves(from, to); why != nil {
		return nil, why
	}
	o := &Offer{Card: c, Service: s}
	if s.Zones != "" {
		if why := o.findZone(from, to); why != nil {
			return nil, why
		}
	}
	at := 0
	if len(s.Prices.Zones) > 0 {
		at = slices.Index(s.Prices.Zones, o.Zone)
		if at < 0 {
			return nil, &Reason{Rule: "price.zone", Text: fmt.Sprintf("%s has no prices for zone %s", s.Name, o.Zone)}
		}
	}
	for _, r := range s.Prices.Rows {
		o.column = append(o.column, r.Prices[at])
		o.volume = append(o.volume, r.Volume.cubicNanometres())
	}
	for _, b := range s.Limits {
		o.limits = append(o.limits, "limit."+string(b.Measure))
	}
	o.called = s.Name
	if o.Zone != "" {
		o.called += ", zone " + o.Zone
	}
	if s.Prices.By != ByPiece {
		o.called += ", up to "
	}
	return o, nil
}

// Serves says which rule keeps the service from going from one country to another; nil when none does. Zones are looked at by NewOffer.
func (s *Service) Serves(from, to Place) *Reason {
	abroad := from.Country != to.Country
	if s.Abroad != nil && *s.Abroad != abroad {
		text := s.Name + " goes abroad only"
		if abroad {
			text = s.Name + " does not go abroad"
		}
		return &Reason{Rule: "service.destination", Text: text}
	}
	if len(s.Countries) > 0 && !slices.Contains(s.Countries, to.Country) {
		return &Reason{Rule: "service.destination", Text: s.Name + " does not go to " + to.Country}
	}
	return nil
}

func (o *Offer) findZone(from, to Place) *Reason {
	t := o.Card.Table(o.Service.Zones, from)
	if t == nil {
		return &Reason{Rule: "zone.origin", Text: fmt.Sprintf("%s: no zones %q from %s %s", o.Card.Name(), o.Service.Zones, from.Country, from.Postcode)}
	}
	row := t.Find(to)
	if row == nil {
		return &Reason{Rule: "zone.destination", Text: fmt.Sprintf("%s: zones %q do not reach %s", o.Card.Name(), t.Name, strings.TrimSpace(to.Country+" "+to.Postcode))}
	}
	o.Zone, o.most, o.Estimated = row.Zone, row.Most, t.Status == "estimated"
	return nil
}
