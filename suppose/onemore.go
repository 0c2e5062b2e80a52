package suppose

import (
	"cmp"
	"context"
	"slices"

	"solander/calendar"
	"solander/dayplan"
	"solander/money"
	"solander/planning"
	"solander/studio"
)

// OneMore is what one more piece of scarce packaging would save on a day.
type OneMore struct {
	Day     calendar.Day     `json:"day"`
	Orders  int              `json:"orders"` // that may be packed
	Held    int              `json:"held"`   // of them cannot go
	Total   money.Amount     `json:"total"`  // of all that go
	Items   []dayplan.Saving `json:"items"`  // most first: orders that could go, then money
	Asked   int              `json:"asked"`  // kinds of packaging looked at
	Of      int              `json:"of"`     // kinds that could matter; Asked < Of when it was stopped
	Stopped bool             `json:"stopped"`
}

// AskOneMore plans the orders that may be packed on a day together, once as the shelf is and once again for
// each kind of packaging of which one more piece could matter, with that one more. The price of the piece
// is in the plans that use it. When ctx ends, what is known so far is returned, marked as stopped.
// Faults: Invalid.
func AskOneMore(ctx context.Context, s *studio.Studio, day calendar.Day, tell dayplan.Tell) (OneMore, error) {
	ask, err := OneMoreLater(ctx, s, day)
	if err != nil {
		return OneMore{}, err
	}
	return ask(ctx, tell)
}

// OneMoreLater reads what one more piece would save follows from.
func OneMoreLater(ctx context.Context, s *studio.Studio, day calendar.Day) (func(context.Context, dayplan.Tell) (OneMore, error), error) {
	if err := studio.Sane("day", day); err != nil {
		return nil, err
	}
	var ask dayplan.Ask
	err := s.Read(ctx, func(t *studio.Turn) (err error) {
		ask, err = planning.DayAsk(s, planning.In(t), day, nil)
		return err
	})
	return func(ctx context.Context, tell dayplan.Tell) (OneMore, error) {
		return WithOneMore(ctx, s, ask, nil, tell)
	}, err
}

// WithOneMore asks for a day whose plans as the shelf is are now; nil = they are not made yet.
func WithOneMore(ctx context.Context, s *studio.Studio, a dayplan.Ask, now map[int64]dayplan.Plan, tell dayplan.Tell) (OneMore, error) {
	out := OneMore{Day: a.Base.Day, Orders: len(a.Ids), Total: money.Of(0, a.Base.Currency)}
	if len(a.Ids) == 0 {
		return out, nil
	}
	ctx = dayplan.Quietly(ctx)
	if now == nil {
		var err error
		if now, err = s.Plans.Of(ctx, a); err != nil || dayplan.Stopped(ctx) {
			out.Stopped = true
			return out, nil
		}
	}
	total, held := dayplan.SumOf(now)
	out.Total, out.Held = money.Of(total, a.Base.Currency), held
	ask := a.Tight(now)
	out.Of = len(ask)
	for i, at := range ask {
		tell.Say(i, len(ask))
		then, err := s.Plans.Of(ctx, a.WithOneMore(at))
		if err != nil || dayplan.Stopped(ctx) {
			out.Stopped = true
			break
		}
		out.Asked++
		if m, ok := a.Saving(at, then, total, held); ok {
			out.Items = append(out.Items, m)
		}
	}
	tell.Say(out.Asked, len(ask))
	slices.SortStableFunc(out.Items, func(x, y dayplan.Saving) int {
		return cmp.Or(cmp.Compare(y.Sends, x.Sends), cmp.Compare(y.Saves.Minor, x.Saves.Minor))
	})
	return out, nil
}
