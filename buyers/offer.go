package buyers

import (
	"context"

	"solander/order"
	"solander/studio"
)

// Offered is a buyer who is in the book, with where her latest order went.
type Offered struct {
	order.Buyer
	Place order.Address `json:"place"`
}

// MostOffered is how many buyers Offer gives.
const MostOffered = 6

// Offer gives the buyers whom the beginning of a name, an e-mail address or a number may mean, by name. Faults: Invalid for a text that is
// too long or no UTF-8; of a text shorter than two letters it gives none.
func Offer(ctx context.Context, s *studio.Studio, text string) ([]Offered, error) {
	out := []Offered{}
	if err := order.Text("q", text, 120, false); err != nil || len([]rune(text)) < 2 {
		return out, err
	}
	err := read(ctx, s, func(t *People) error {
		all, err := t.Buyers(text, MostOffered)
		if err != nil {
			return err
		}
		for _, b := range all {
			places, err := t.Places(b.ID, 1)
			if err != nil {
				return err
			}
			o := Offered{Buyer: b}
			if len(places) > 0 {
				o.Place = places[0]
			}
			out = append(out, o)
		}
		return nil
	})
	return out, err
}

// OfferOne gives a buyer of the book as Offer does. Faults: Missing.
func OfferOne(ctx context.Context, s *studio.Studio, id int64) (Offered, error) {
	return studio.Got(ctx, s, read, func(t *People) (Offered, error) {
		b, err := t.Person(id)
		if err != nil {
			return Offered{}, err
		}
		places, err := t.Places(b.ID, 1)
		if err != nil || len(places) == 0 {
			return Offered{Buyer: b}, err
		}
		return Offered{b, places[0]}, nil
	})
}
