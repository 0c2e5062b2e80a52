package stockroom

import (
	"solander/studio"
	"solander/supply"
)

// EditionRows returns every edition with its sums, in the catalogue's order.
func (t *Stockroom) EditionRows() ([]studio.EditionRow, error) {
	eds, err := t.Editions()
	if err != nil {
		return nil, err
	}
	counts, err := t.Counts()
	if err != nil {
		return nil, err
	}
	onHand, err := t.OnHand()
	if err != nil {
		return nil, err
	}
	runs, err := t.Runs(true)
	if err != nil {
		return nil, err
	}
	coming := Outstanding(runs)
	out := make([]studio.EditionRow, len(eds))
	for i, e := range eds {
		sold, err := t.Sold(e.ID)
		if err != nil {
			return nil, err
		}
		unsold, err := t.Unsold(e.ID)
		if err != nil {
			return nil, err
		}
		out[i] = studio.EditionRow{Edition: e, Counts: counts[e.ID], Sold: sold, Unsold: unsold, PriceNow: e.PriceAt(sold), OnHand: onHand[e.ID], Outstanding: coming[e.ID]}
	}
	return out, nil
}

// Outstanding sums what the labs still owe, by edition.
func Outstanding(runs []supply.Run) map[int64]int {
	out := map[int64]int{}
	for _, r := range runs {
		out[r.Edition] += r.Outstanding()
	}
	return out
}
