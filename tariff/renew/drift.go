package renew

import (
	"fmt"
	"slices"

	"solander/fault"
	"solander/tariff"
)

// When a drift is told: from so many parcels, and when what was paid differs from the card by more than this in either
// direction. Common practice, no source: below, a single parcel weighed at the counter moves it.
const (
	leastParcels = 5
	tellAbove    = Same * 2 / 100
)

// Drift is how far a service's prices are from what was paid.
type Drift struct {
	Card      string `json:"card"`
	Service   string `json:"service"`
	Name      string `json:"name"` // of the service
	Parcels   int    `json:"parcels"`
	Estimated int64  `json:"estimated"`
	Paid      int64  `json:"paid"`
	Cells     []Used `json:"cells"` // by step and zone
}

// Factor is what was paid for each part estimated.
func (d Drift) Factor() Factor { return ratio(d.Paid, d.Estimated) }

// Factor is what was paid for each part estimated by this cell.
func (u Used) Factor() Factor { return ratio(u.Paid, u.Estimated) }

// Told reports a drift that is worth saying.
func (d Drift) Told() bool {
	off := d.Factor() - Same
	return d.Parcels >= leastParcels && (off > tellAbove || off < -tellAbove)
}

// Text says the drift in plain words.
func (d Drift) Text() string {
	off := d.Factor() - Same
	more := "more"
	if off < 0 {
		off, more = -off, "less"
	}
	return fmt.Sprintf("%s costs you %d.%d %% %s than its card says, by %s", d.Name, off/100, off%100/10, more, fault.Count(d.Parcels, "parcel"))
}

// Drifts gathers the uses of a card by service, in the card's order.
func Drifts(card *tariff.Card, uses []Used) []Drift {
	var out []Drift
	for _, u := range uses {
		i := slices.IndexFunc(out, func(d Drift) bool { return d.Service == u.Service })
		if i < 0 {
			i = len(out)
			out = append(out, Drift{Card: card.ID, Service: u.Service, Name: card.Service(u.Service).Name})
		}
		d := &out[i]
		d.Parcels, d.Estimated, d.Paid = d.Parcels+u.Parcels, d.Estimated+u.Estimated, d.Paid+u.Paid
		d.Cells = append(d.Cells, u)
	}
	return out
}

// FactorOf proposes the factor for what is carried over: what the typed prices rose by, each weighed by the parcels that
// went by it; with none typed, what was paid against the card; Same when nothing is known.
func FactorOf(old *tariff.Card, uses []Used, typed map[Cell]tariff.Cell) Factor {
	var was, now, estimated, paid int64
	for _, u := range uses {
		estimated, paid = estimated+u.Estimated, paid+u.Paid
		if p, ok := typed[u.Cell]; ok && p != tariff.NotCarried {
			was, now = was+int64(u.Price(old))*int64(u.Parcels), now+int64(p)*int64(u.Parcels)
		}
	}
	if was > 0 {
		return min(max(ratio(now, was), leastFactor), mostFactor)
	}
	return min(max(ratio(paid, estimated), leastFactor), mostFactor)
}
