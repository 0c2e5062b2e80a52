package parcel

import (
	"slices"
	"strings"

	"solander/calendar"
	"solander/packing"
	"solander/tariff"
)

// UnknownDays stands for the days in the post of a service that states none.
const UnknownDays = 100

// way is every service that leads to a destination, and why the others do not.
type way struct {
	Offers  []*Offer
	Refused []refusal
	// growsWithMass and so on hold for all offers: see tariff.Offer.
	growsWithMass, growsWithSize, growsWithStiffness bool
}

type Offer struct {
	*tariff.Offer
	Days    int // calendar days to the latest arrival
	Arrives calendar.Day
	Low     int64 // the lowest price in its table
	floors  []tariff.Bound
}

type refusal struct {
	card    *tariff.Card
	Service *tariff.Service
	Reason  *packing.Reason
}

func (k *Kit) way(to packing.Place) *way {
	if w, ok := k.ways[to]; ok {
		return w
	}
	w := &way{growsWithMass: true, growsWithSize: true, growsWithStiffness: true}
	for _, c := range k.cards {
		for _, s := range byID(c) {
			o, why := tariff.NewOffer(c, s, k.P.Origin, to)
			if why != nil {
				w.Refused = append(w.Refused, refusal{c, s, why})
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

func (w *way) add(o *Offer) {
	w.Offers = append(w.Offers, o)
	w.growsWithMass = w.growsWithMass && o.GrowsWithMass()
	w.growsWithSize = w.growsWithSize && o.GrowsWithSize()
	w.growsWithStiffness = w.growsWithStiffness && o.GrowsWithStiffness()
}

func (k *Kit) newOffer(o *tariff.Offer) *Offer {
	out := &Offer{Offer: o, Days: UnknownDays, Low: o.Cheapest(), floors: o.Floors()}
	if d := o.Service.Days; d != nil {
		out.Arrives = d.Arrives(k.P.Day, k.P.Holidays)
		out.Days = out.Arrives.Sub(k.P.Day)
	}
	return out
}

// InTime reports whether the offer arrives by a day; no day is always met.
func (o *Offer) InTime(by calendar.Day) bool {
	return by.IsZero() || o.Service.Days != nil && !o.Arrives.After(by)
}
