package waiting

import (
	"context"

	"solander/dayplan/ahead"
	"solander/order"
	"solander/studio"
)

// mostMarked is how many orders the bench plans ahead by itself; of more, the days ahead tell when they are asked for.
const mostMarked = 60

// MayWaitLater reads what of the orders that could go today may wait, by id, where that saves something. It is empty when it cannot pay, or
// there are more orders than the bench plans ahead by itself.
func MayWaitLater(ctx context.Context, s *studio.Studio) (studio.Later[map[int64]Order], error) {
	var a asked
	err := read(ctx, s, func(t *Waiting) error {
		d, err := t.Drawer()
		if err != nil || len(d.Orders) > 4*mostMarked {
			return err
		}
		a, err = t.Ask(s, d, Days)
		return err
	})
	return func(ctx context.Context) (map[int64]Order, error) {
		out := map[int64]Order{}
		if !a.worth || len(a.Orders) > mostMarked {
			return out, nil
		}
		p, ok, err := ahead.Of(ctx, s.Plans, a.Question)
		if err != nil || !ok {
			return nil, err
		}
		for _, o := range a.view(p).Orders {
			if o.Waits && !o.Said && !o.Must && o.Saves.Sign() > 0 && o.First == a.Question.Days[0].Day {
				out[o.ID] = o
			}
		}
		return out, nil
	}, err
}

// Kept is what the bench says of an order for which packaging is kept: "1 × Tube 20 in is kept for it until Thu 5 Mar".
func (t *Waiting) Kept(w order.Wait) (string, error) {
	shelf, err := t.Shelf()
	names := map[string]string{}
	for _, it := range shelf {
		names[it.Spec.ID] = it.Spec.Name
	}
	return keeping(w, names), err
}

// Told is what the bench says of an order that waits: "waits until Tue 3 Mar: saves 6.40 USD, with S-12".
func Told(w order.Wait) string {
	return Order{Day: w.Until, With: w.With, Saves: w.Saves, Said: true, Must: w.Saves.IsZero()}.says()
}
