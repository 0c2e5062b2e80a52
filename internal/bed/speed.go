package bed

import (
	"solander/book"
	"solander/calendar"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// MostUsed returns the n items of which the plans of the day take most.
func (b *Bed) MostUsed(n int) []string {
	b.Helper()
	used := map[string]int{}
	open, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{State: order.Open, Limit: 60}, "")
	b.Must(err)
	for _, o := range open.Rows {
		v, err := planning.Plan(b.Ctx, b.Studio, o.ID, calendar.Day{})
		b.Must(err)
		for _, u := range v.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	var out []string
	for range n {
		best := ""
		for key, count := range used {
			if best == "" || count > used[best] || count == used[best] && key < best {
				best = key
			}
		}
		out = append(out, best)
		delete(used, best)
	}
	return out
}
