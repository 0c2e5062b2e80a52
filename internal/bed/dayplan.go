package bed

import (
	"solander/bench"
	"solander/calendar"
	"solander/daybench"
	"solander/stockroom"
)

// Scarce leaves so many pieces of each of the cheapest envelopes of a heron.
func (b *Bed) Scarce(pieces int, keys ...string) {
	b.Helper()
	for _, key := range keys {
		b.Must(stockroom.CountShelf(b.Ctx, b.Studio, b.Shelf()[key].ID, pieces, "few are left"))
	}
}

// PackTasks returns the tasks of the bench under pack, by mark.
func (b *Bed) PackTasks() map[string]bench.Task {
	b.Helper()
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	out := map[string]bench.Task{}
	for _, t := range list.Groups[bench.PackOrders] {
		out[t.Mark] = t
	}
	return out
}
