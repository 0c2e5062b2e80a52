package earnings

import (
	"context"
	"sync"

	"solander/calendar"
	"solander/earned"
	"solander/studio"
)

// kept are figures that were reckoned lately, and rows of them that were opened. They hold while nothing is written to the store, whatever program would do
// so, and the day is the same.
type kept struct {
	mu     sync.Mutex
	writes int64
	today  calendar.Day
	of     map[opened]any
}

// opened is a question, with the row that is opened; "" = the figures themselves.
type opened struct {
	earned.Ask
	key string
}

// both are the figures and the months of one question.
type both struct {
	figures earned.Figures
	months  earned.Months
}

// mostKept bounds how many answers are remembered.
const mostKept = 16

// figures are those of a question: as they were reckoned, or anew when something was written since.
func (k *kept) figures(ctx context.Context, s *studio.Studio, a earned.Ask, today calendar.Day) (both, error) {
	return or(ctx, k, s, opened{a, ""}, today, func() (b both, err error) {
		if b.figures, err = earned.Get(ctx, s, a); err == nil {
			b.months, err = earned.ByMonth(ctx, s, a)
		}
		return b, err
	})
}

// inside is a row of the figures, opened to its parts and orders.
func (k *kept) inside(ctx context.Context, s *studio.Studio, a earned.Ask, key string, today calendar.Day) (earned.Inside, error) {
	return or(ctx, k, s, opened{a, key}, today, func() (earned.Inside, error) { return earned.Open(ctx, s, a, key) })
}

// or returns the answer to a question as it is remembered, or reckons it. Nobody changes an answer.
func or[V any](ctx context.Context, k *kept, s *studio.Studio, q opened, today calendar.Day, reckon func() (V, error)) (V, error) {
	var none V
	writes, err := s.Writes(ctx)
	if err != nil {
		return none, err
	}
	if v, ok := k.known(writes, today, q).(V); ok {
		return v, nil
	}
	v, err := reckon()
	if err != nil {
		return none, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.writes == writes && k.today == today && len(k.of) < mostKept {
		k.of[q] = v
	}
	return v, nil
}

// known is what is remembered of a question, nil = nothing is; what was reckoned before something was written is forgotten.
func (k *kept) known(writes int64, today calendar.Day, q opened) any {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of == nil || k.writes != writes || k.today != today || len(k.of) >= mostKept {
		k.writes, k.today, k.of = writes, today, map[opened]any{}
	}
	return k.of[q]
}
