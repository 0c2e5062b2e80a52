package studio

import (
	"context"

	"solander/edition"
	"solander/supply"
)

// WorkView is a work with its editions.
type WorkView struct {
	edition.Work
	Editions []EditionRow `json:"editions"`
}

// Works lists works with their editions, by title.
func (s *Studio) Works(ctx context.Context) ([]WorkView, error) {
	var out []WorkView
	err := s.read(ctx, func(t *turn) error {
		works, err := t.Works()
		if err != nil {
			return err
		}
		rows, err := t.editionRows()
		if err != nil {
			return err
		}
		of := map[int64][]EditionRow{}
		for _, r := range rows {
			of[r.Work] = append(of[r.Work], r)
		}
		out = make([]WorkView, len(works))
		for i, w := range works {
			out[i] = WorkView{Work: w, Editions: of[w.ID]}
		}
		return nil
	})
	return out, err
}

// editionRows returns every edition with its sums, in the catalogue's order.
func (t *turn) editionRows() ([]EditionRow, error) {
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
	coming := outstanding(runs)
	out := make([]EditionRow, len(eds))
	for i, e := range eds {
		sold, err := t.Sold(e.ID)
		if err != nil {
			return nil, err
		}
		unsold, err := t.Unsold(e.ID)
		if err != nil {
			return nil, err
		}
		out[i] = EditionRow{Edition: e, Counts: counts[e.ID], Sold: sold, Unsold: unsold, PriceNow: e.PriceAt(sold), OnHand: onHand[e.ID], Outstanding: coming[e.ID]}
	}
	return out, nil
}

// outstanding sums what the labs still owe, by edition.
func outstanding(runs []supply.Run) map[int64]int {
	out := map[int64]int{}
	for _, r := range runs {
		out[r.Edition] += r.Outstanding()
	}
	return out
}

// SaveWork adds a work (ID 0) or changes one. Faults: Invalid, Missing.
func (s *Studio) SaveWork(ctx context.Context, w edition.Work) (edition.Work, error) {
	return s.ChangeWork(ctx, w.ID, whole(w))
}

// ChangeWork changes a work as it stands, or adds one (id 0), as ChangeSettings does. Faults: Invalid, Missing.
func (s *Studio) ChangeWork(ctx context.Context, id int64, change func(*edition.Work) error) (w edition.Work, err error) {
	err = s.write(ctx, func(t *turn) error {
		if w, err = asItStands(id, t.Work, change); err != nil {
			return err
		}
		w.ID = id
		if err := w.Validate(); err != nil {
			return err
		}
		w.ID, err = t.SaveWork(w)
		return err
	})
	return w, err
}
