package planner

import (
	"slices"
	"strings"

	"solander/calendar"
	"solander/packing"
	"solander/tariff"
)

// unknownDays stands for the days in the post of a service that states none.
const unknownDays = 100

// way is every service that leads to a destination, and why the others do not.
type way struct {
	offers  []*offer
	refused []refusal
	// growsWithMass and so on hold for all offers: see tariff.Offer.
	growsWithMass, growsWithSize, growsWithStiffness bool
}

type offer struct {
	*tariff.Offer
	days    int // calendar days to the latest arrival
	arrives calendar.Day
	low     int64 // the lowest price in its table
	floors  []tariff.Bound
}

type refusal struct {
	card    *tariff.Card
	service *tariff.Service
	reason  *packing.Reason
}

func (k *kit) way(to packing.Place) *way {
	if w, ok := k.ways[to]; ok {
		return w
	}
	w := &way{growsWithMass: true, growsWithSize: true, growsWithStiffness: true}
	for _, c := range k.cards {
		for _, s := range byID(c) {
			o, why := tariff.NewOffer(c, s, k.p.Origin, to)
			if why != nil {
				w.refused = append(w.refused, refusal{c, s, why})
				continue
			}
			w.add(k.newOffer(o))
		}
	}
	k.ways[to] = w
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

func (w *way) add(o *offer) {
	w.offers = append(w.offers, o)
	w.growsWithMass = w.growsWithMass && o.GrowsWithMass()
	w.growsWithSize = w.growsWithSize && o.GrowsWithSize()
	w.growsWithStiffness = w.growsWithStiffness && o.GrowsWithStiffness()
}

func (k *kit) newOffer(o *tariff.Offer) *offer {
	out := &offer{Offer: o, days: unknownDays, low: o.Cheapest(), floors: o.Floors()}
	if d := o.Service.Days; d != nil {
		out.arrives = d.Arrives(k.p.Day, k.p.Holidays)
		out.days = out.arrives.Sub(k.p.Day)
	}
	return out
}

// inTime reports whether the offer arrives by a day; no day is always met.
func (o *offer) inTime(by calendar.Day) bool {
	return by.IsZero() || o.Service.Days != nil && !o.arrives.After(by)
}
