package register

import (
	"context"

	"solander/edition"
	"solander/stockroom"
	"solander/studio"
)

// WorkView is a work with its editions.
type WorkView struct {
	edition.Work
	Editions []studio.EditionRow `json:"editions"`
}

// Works lists works with their editions, by title.
func Works(ctx context.Context, s *studio.Studio) ([]WorkView, error) {
	var out []WorkView
	err := read(ctx, s, func(t *Register) error {
		works, err := t.Works()
		if err != nil {
			return err
		}
		rows, err := stockroom.In(t.Turn).EditionRows()
		if err != nil {
			return err
		}
		of := map[int64][]studio.EditionRow{}
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

// SaveWork adds a work (ID 0) or changes one. Faults: Invalid, Missing.
func SaveWork(ctx context.Context, s *studio.Studio, w edition.Work) (edition.Work, error) {
	return ChangeWork(ctx, s, w.ID, studio.Whole(w))
}

// ChangeWork changes a work as it stands, or adds one (id 0), as ChangeSettings does. Faults: Invalid, Missing.
func ChangeWork(ctx context.Context, s *studio.Studio, id int64, change func(*edition.Work) error) (w edition.Work, err error) {
	err = write(ctx, s, func(t *Register) error {
		if w, err = studio.AsItStands(id, t.Work, change); err != nil {
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
