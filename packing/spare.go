package packing

import (
	"solander/measure"
	"solander/tariff"
)

// Spare is how far a parcel is below the step by which it is priced: so much heavier it may be at the counter and cost the
// same. ok is false when its price is not by mass, or the card is not among the cards.
func (p *Parcel) Spare(cards []tariff.Card) (step, below measure.Mass, ok bool) {
	for i := range cards {
		if cards[i].ID != p.Card {
			continue
		}
		s := cards[i].Service(p.Service)
		if s == nil || s.Prices.By != tariff.ByMass || p.Billed == 0 {
			return 0, 0, false
		}
		if row, found := s.Prices.Step(p.Size, p.Billed); found {
			step = s.Prices.Rows[row].Mass
			return step, step - p.Billed, true
		}
	}
	return 0, 0, false
}
