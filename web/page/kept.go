package page

import (
	"context"
	"sync"

	"solander/calendar"
	"solander/studio"
)

// Kept are answers to questions that go through much, as they were reckoned lately. They hold while nothing is written to the store, whatever program would do
// so, and the day is the same. It is safe for concurrent use.
type Kept[Q comparable] struct {
	mu     sync.Mutex
	writes int64
	today  calendar.Day
	of     map[Q]any
}

// mostKept bounds how many answers are remembered.
const mostKept = 16

// Remembered returns the answer to a question as it is remembered, or reckons it. Nobody changes an answer.
func Remembered[Q comparable, V any](ctx context.Context, k *Kept[Q], s *studio.Studio, q Q, today calendar.Day, reckon func() (V, error)) (V, error) {
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
func (k *Kept[Q]) known(writes int64, today calendar.Day, q Q) any {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of == nil || k.writes != writes || k.today != today || len(k.of) >= mostKept {
		k.writes, k.today, k.of = writes, today, map[Q]any{}
	}
	return k.of[q]
}
