package means

import (
	"slices"
	"strings"

	"solander/calendar"
	"solander/packing"
	"solander/tariff"
)

// UnknownDays stands for the days in the post of a service that states none.
const UnknownDays = 100

// Way is every service that leads to a destination, and why the others do not.
type Way struct {
	Offers  []*Offer
	Refused []Refusal
	// GrowsWithMass and so on hold for all offers: see tariff.Offer.
	GrowsWithMass, GrowsWithSize, GrowsWithStiffness bool
}

// Offer is a service to a destination, with when it arrives.
type Offer struct {
	*tariff.Offer
	Days    int // calendar days to the latest arrival
	Arrives calendar.Day
	Low     int64          // the lowest price in its table
	Bounds  []tariff.Bound // below which it does not go
}

// Refusal is a service that does not lead there, and why.
type Refusal struct {
	Service *tariff.Service
	Reason  *packing.Reason
}

// WayTo looks which services of some cards lead from a problem's origin to a destination.
func WayTo(p *packing.Problem, cards []*tariff.Card, to packing.Place) *Way {
	w := &Way{GrowsWithMass: true, GrowsWithSize: true, GrowsWithStiffness: true}
	for _, c := range cards {
		for _, s := range byID(c) {
			o, why := tariff.NewOffer(c, s, p.Origin, to)
			if why != nil {
				w.Refused = append(w.Refused, Refusal{s, why})
				continue
			}
			w.add(newOffer(p, o))
		}
	}
	return w
}

func byID(c *tariff.Card) []*tariff.Service {
	var out []*tariff.Service
	for i := range c.Services {
		out = append(out, &c.Services[i])
	}
	slices.SortFunc(out, func(a, b *tariff.Service) int { return strings.Compare(a.ID, b.ID) })
	return out
}

func (w *Way) add(o *Offer) {
	w.Offers = append(w.Offers, o)
	w.GrowsWithMass = w.GrowsWithMass && o.GrowsWithMass()
	w.GrowsWithSize = w.GrowsWithSize && o.GrowsWithSize()
	w.GrowsWithStiffness = w.GrowsWithStiffness && o.GrowsWithStiffness()
}

func newOffer(p *packing.Problem, o *tariff.Offer) *Offer {
	out := &Offer{Offer: o, Days: UnknownDays, Low: o.Cheapest(), Bounds: o.Floors()}
	if d := o.Service.Days; d != nil {
		out.Arrives = d.Arrives(p.Day, p.Holidays)
		out.Days = out.Arrives.Sub(p.Day)
	}
	return out
}

// InTime reports whether the offer arrives by a day; no day is always met.
func (o *Offer) InTime(by calendar.Day) bool {
	return by.IsZero() || o.Service.Days != nil && !o.Arrives.After(by)
}
