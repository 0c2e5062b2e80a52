package studio

import (
	"context"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/money"
)

// Tell is told how far a long computation has come: done of all.
type Tell func(done, all int)

func (f Tell) say(done, all int) {
	if f != nil {
		f(done, all)
	}
}

// OneMore is what one more piece of scarce packaging would save on a day.
type OneMore struct {
	Day     calendar.Day `json:"day"`
	Orders  int          `json:"orders"` // that may be packed
	Held    int          `json:"held"`   // of them cannot go
	Total   money.Amount `json:"total"`  // of all that go
	Items   []Saving     `json:"items"`  // most first: orders that could go, then money
	Asked   int          `json:"asked"`  // kinds of packaging looked at
	Of      int          `json:"of"`     // kinds that could matter; Asked < Of when it was stopped
	Stopped bool         `json:"stopped"`
}

// Saving is what one more piece of an item would do.
type Saving struct {
	ID    int64        `json:"id"` // of the shelf item
	Item  string       `json:"item"`
	Name  string       `json:"name"`
	Left  int          `json:"left"`  // pieces that no packed parcel holds
	Saves money.Amount `json:"saves"` // negative when more orders go and that costs more in all
	Sends int          `json:"sends"` // orders that are held now and could go
	Text  string       `json:"text"`
}

// OneMore plans the orders that may be packed on a day together, once as the shelf is and once again for
// each kind of packaging of which one more piece could matter, with that one more. The price of the piece
// is in the plans that use it. When ctx ends, what is known so far is returned, marked as stopped.
// Faults: Invalid.
func (s *Studio) OneMore(ctx context.Context, day calendar.Day, tell Tell) (OneMore, error) {
	if err := sane("day", day); err != nil {
		return OneMore{}, err
	}
	var ask dayAsk
	err := s.read(ctx, func(t *turn) (err error) {
		ask, err = s.dayAsk(t, day, nil)
		return err
	})
	if err != nil {
		return OneMore{}, err
	}
	return s.oneMore(ctx, ask, nil, tell)
}

// oneMore asks for a day whose plans as the shelf is are now; nil = they are not made yet.
func (s *Studio) oneMore(ctx context.Context, a dayAsk, now map[int64]dayPlan, tell Tell) (OneMore, error) {
	out := OneMore{Day: a.base.Day, Orders: len(a.ids), Total: money.Of(0, a.base.Currency)}
	if len(a.ids) == 0 {
		return out, nil
	}
	ctx = quietly(ctx)
	if now == nil {
		var err error
		if now, err = s.plans.dayPlans(ctx, a); err != nil || stopped(ctx) {
			out.Stopped = true
			return out, nil
		}
	}
	total, held := sumOf(now)
	out.Total, out.Held = money.Of(total, a.base.Currency), held
	ask := a.tight(now)
	out.Of = len(ask)
	for i, at := range ask {
		tell.say(i, len(ask))
		then, err := s.plans.dayPlans(ctx, a.withOneMore(at))
		if err != nil || stopped(ctx) {
			out.Stopped = true
			break
		}
		out.Asked++
		if m, ok := a.saving(at, then, total, held); ok {
			out.Items = append(out.Items, m)
		}
	}
	tell.say(out.Asked, len(ask))
	slices.SortStableFunc(out.Items, func(x, y Saving) int {
		if x.Sends != y.Sends {
			return y.Sends - x.Sends
		}
		return int(y.Saves.Minor - x.Saves.Minor)
	})
	return out, nil
}

// sumOf is what the plans of a day cost together, and how many orders they hold.
func sumOf(plans map[int64]dayPlan) (total int64, held int) {
	for id, p := range plans {
		if p.err != nil || p.held() != "" {
			held++
			continue
		}
		if p.leads(id) {
			total += p.plan.Total
		}
	}
	return total, held
}

// tight returns the places on the shelf of items in use of which plans leave fewer pieces than a wrap
// takes: only of those can one more matter.
func (a dayAsk) tight(plans map[int64]dayPlan) []int {
	used := map[string]int{}
	for id, p := range plans {
		if !p.leads(id) {
			continue
		}
		for _, u := range p.plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	sheets := 1
	for _, unit := range a.units {
		n := 0
		for _, o := range a.ordersOf(unit) {
			for _, s := range o.Sheets {
				n += s.Number()
			}
		}
		sheets = max(sheets, n)
	}
	var out []int
	for i, it := range a.base.Shelf {
		most := sheets * mostTaken(a.base.Wraps, it.Kind)
		if it.Stock != nil && !a.room.retired[it.ID] && most > 0 && *it.Stock-used[it.ID] < most {
			out = append(out, i)
		}
	}
	return out
}

func (a dayAsk) withOneMore(at int) dayAsk {
	a.base.Shelf = slices.Clone(a.base.Shelf)
	more := *a.base.Shelf[at].Stock + 1
	a.base.Shelf[at].Stock = &more
	return a
}

// saving compares the plans with one more piece to the total and the held orders without it.
func (a dayAsk) saving(at int, then map[int64]dayPlan, total int64, held int) (Saving, bool) {
	it := a.base.Shelf[at]
	with, still := sumOf(then)
	m := Saving{ID: a.room.ids[it.ID], Item: it.ID, Name: it.Name, Left: *it.Stock, Saves: money.Of(total-with, a.base.Currency), Sends: held - still}
	switch {
	case m.Sends > 0:
		m.Text = fmt.Sprintf("one more would let %s go that cannot go now", many(m.Sends, "order"))
	case m.Sends == 0 && m.Saves.Sign() > 0:
		m.Text = fmt.Sprintf("one more would save %s today", m.Saves)
	default:
		return m, false
	}
	return m, true
}

func many(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}
