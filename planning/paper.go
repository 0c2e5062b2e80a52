package planning

import (
	"context"

	"solander/calendar"
	"solander/papers"
	"solander/studio"
)

func (t *Planning) Head(day calendar.Day) papers.Head {
	if day.IsZero() {
		day = t.Today
	}
	return papers.Head{Studio: t.Set.Studio, Day: day, Units: t.Set.Units}
}

// HeadOf reads what a paper begins with outside of a transaction of its own.
func HeadOf(ctx context.Context, s *studio.Studio, day calendar.Day) (papers.Head, error) {
	var h papers.Head
	err := read(ctx, s, func(t *Planning) error {
		h = t.Head(day)
		return nil
	})
	return h, err
}
