package planner

import (
	"context"
	"slices"

	"solander/fault"
	"solander/packing"
)

// Marginal says what one more piece of an item would be worth today.
type Marginal struct {
	Item   string `json:"item"`
	Stock  int    `json:"stock"`  // pieces there are
	Sends  int    `json:"sends"`  // orders more that could go
	Saves  int64  `json:"saves"`  // what the plan would cost less; below 0 when more orders go
	Proven bool   `json:"proven"` // both plans are proven; otherwise the numbers are those of the plans found
}

// OneMore plans a problem as it is and with one more piece of a shelf item, and compares. An item of which
// there is plenty is worth nothing more. Faults: Invalid as for Plan; Missing for an unknown item.
func OneMore(ctx context.Context, p packing.Problem, item string) (Marginal, error) {
	at := slices.IndexFunc(p.Shelf, func(i packing.Item) bool { return i.ID == item })
	if at < 0 {
		return Marginal{}, fault.New(fault.Missing, "there is no item %q on the shelf", item).ToMend("name one of its items")
	}
	out := Marginal{Item: item, Proven: true}
	if p.Shelf[at].Stock == nil {
		return out, p.Check()
	}
	none := 0
	p.Options.RejectedMost = &none
	was, err := Plan(ctx, p)
	if err != nil {
		return Marginal{}, err
	}
	more := *p.Shelf[at].Stock + 1
	p.Shelf = slices.Clone(p.Shelf)
	p.Shelf[at].Stock = &more
	now, err := Plan(ctx, p)
	if err != nil {
		return Marginal{}, err
	}
	out.Stock, out.Sends, out.Saves = more-1, was.Held-now.Held, was.Total-now.Total
	out.Proven = was.Status != packing.NotProven && now.Status != packing.NotProven
	return out, nil
}
