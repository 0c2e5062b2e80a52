package earnings

import (
	"context"

	"solander/calendar"
	"solander/earned"
	"solander/studio"
	"solander/web/page"
)

// kept are figures that were reckoned lately, and rows of them that were opened.
type kept struct{ page.Kept[opened] }

// opened is a question, with the row that is opened; "" = the figures themselves. How far editions are sold is grouped by nothing.
type opened struct {
	earned.Ask
	key string
}

// both are the figures and the months of one question.
type both struct {
	figures earned.Figures
	months  earned.Months
}

// figures are those of a question: as they were reckoned, or anew when something was written since.
func (k *kept) figures(ctx context.Context, s *studio.Studio, a earned.Ask, today calendar.Day) (both, error) {
	return page.Remembered(ctx, &k.Kept, s, opened{a, ""}, today, func() (b both, err error) {
		if b.figures, err = earned.Get(ctx, s, a); err == nil {
			b.months, err = earned.ByMonth(ctx, s, a)
		}
		return b, err
	})
}

// inside is a row of the figures, opened to its parts and orders.
func (k *kept) inside(ctx context.Context, s *studio.Studio, a earned.Ask, key string, today calendar.Day) (earned.Inside, error) {
	return page.Remembered(ctx, &k.Kept, s, opened{a, key}, today, func() (earned.Inside, error) { return earned.Open(ctx, s, a, key) })
}

// through is how far the editions are sold, which goes through all lines.
func (k *kept) through(ctx context.Context, s *studio.Studio, today calendar.Day) ([]earned.SellThrough, error) {
	return page.Remembered(ctx, &k.Kept, s, opened{key: "through"}, today, func() ([]earned.SellThrough, error) { return earned.Through(ctx, s) })
}
