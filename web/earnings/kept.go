package earnings

import (
	"context"
	"sync"

	"solander/calendar"
	"solander/earned"
	"solander/studio"
)

// kept are figures that were reckoned lately. They hold while nothing is written to the store, whatever program would do so, and the day is
// the same.
type kept struct {
	mu     sync.Mutex
	writes int64
	today  calendar.Day
	of     map[earned.Ask]both
}

// both are the figures and the months of one question.
type both struct {
	figures earned.Figures
	months  earned.Months
}

// mostKept bounds how many questions are remembered.
const mostKept = 16

// figures are those of a question: as they were reckoned, or anew when something was written since.
func (k *kept) figures(ctx context.Context, s *studio.Studio, a earned.Ask, today calendar.Day) (both, error) {
	writes, err := s.Writes(ctx)
	if err != nil {
		return both{}, err
	}
	if b, ok := k.known(writes, today, a); ok {
		return b, nil
	}
	var b both
	if b.figures, err = earned.Get(ctx, s, a); err != nil {
		return b, err
	}
	if b.months, err = earned.ByMonth(ctx, s, a); err != nil {
		return b, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.writes == writes && k.today == today && len(k.of) < mostKept {
		k.of[a] = b
	}
	return b, nil
}

// known is what is remembered of a question; what was reckoned before something was written is forgotten.
func (k *kept) known(writes int64, today calendar.Day, a earned.Ask) (both, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of == nil || k.writes != writes || k.today != today || len(k.of) >= mostKept {
		k.writes, k.today, k.of = writes, today, map[earned.Ask]both{}
	}
	b, ok := k.of[a]
	return b, ok
}
