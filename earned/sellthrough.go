package earned

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"solander/calendar"
	"solander/money"
	"solander/studio"
)

// SellThrough is how far an edition is sold, from its first sale on.
type SellThrough struct {
	Edition int64        `json:"edition"`
	Work    int64        `json:"work"`
	Name    string       `json:"name"`
	Limit   int          `json:"limit"`
	Sold    int          `json:"sold"`
	First   calendar.Day `json:"first"`
	Days    int          `json:"days"` // until today, or until the last was sold
	Points  []SoldBy     `json:"points"`
	Steps   int          `json:"steps"` // prices that it has
	Price   money.Amount `json:"price_now"`
}

// SoldBy is how many were sold by a day, counted from the first sale.
type SoldBy struct {
	Day  int `json:"day"`
	Sold int `json:"sold"`
}

// Through lists the limited editions of which something was sold, by how far they are: the furthest first.
func Through(ctx context.Context, s *studio.Studio) ([]SellThrough, error) {
	return studio.Got(ctx, s, read, func(t *Earned) ([]SellThrough, error) { return t.through() })
}

func (t *Earned) through() ([]SellThrough, error) {
	all, err := t.Editions()
	if err != nil {
		return nil, err
	}
	sold, err := t.SoldByDay()
	if err != nil {
		return nil, err
	}
	out := []SellThrough{}
	for _, e := range all {
		if e.Open() {
			continue
		}
		days := slices.SortedFunc(maps.Keys(sold[e.ID]), func(a, b calendar.Day) int { return a.Sub(b) })
		if len(days) == 0 {
			continue
		}
		x := SellThrough{Edition: e.ID, Work: e.Work, Name: e.Name(t.Set.Units), Limit: e.Limit, First: days[0], Steps: len(stepsOf(e))}
		last := days[0]
		for _, d := range days {
			x.Sold, last = x.Sold+sold[e.ID][d], d
			x.Points = append(x.Points, SoldBy{d.Sub(x.First), x.Sold})
		}
		if x.Sold < x.Limit {
			last = studio.Latest(last, t.Today)
		}
		x.Days, x.Price = last.Sub(x.First), e.PriceAt(x.Sold)
		if n := len(x.Points); x.Points[n-1].Day < x.Days {
			x.Points = append(x.Points, SoldBy{x.Days, x.Sold})
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b SellThrough) int {
		return cmp.Or(cmp.Compare(int64(b.Sold)*int64(a.Limit), int64(a.Sold)*int64(b.Limit)), cmp.Compare(a.Name, b.Name))
	})
	return out, nil
}
