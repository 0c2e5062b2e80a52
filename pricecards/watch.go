package pricecards

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"solander/studio"
	"solander/tariff/renew"
)

// Watch knows which services cost other than their cards say, and looks anew only when something was handed over, another
// card holds or the day is another. It is safe for concurrent use.
type Watch struct {
	mu   sync.Mutex
	seen string
	told []renew.Drift
}

// Told returns the drifts that are worth saying. See Drifts.
func (w *Watch) Told(ctx context.Context, s *studio.Studio) ([]renew.Drift, error) {
	var now string
	err := read(ctx, s, func(t *PriceCards) error {
		all, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		last, err := t.HandOvers(1)
		now = t.Today.String()
		for _, h := range last {
			now += fmt.Sprintf(" %d", h.ID)
		}
		for _, c := range studio.ListedFor(all, t.Set, t.Today) {
			now += fmt.Sprintf(" %x", c.Digest)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.seen != now {
		told, err := Drifts(ctx, s)
		if err != nil {
			return nil, err
		}
		w.seen, w.told = now, told
	}
	return slices.Clone(w.told), nil
}
