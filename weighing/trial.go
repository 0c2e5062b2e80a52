package weighing

import (
	"context"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/planning"
	"solander/studio"
	"solander/tariff"
)

// Trial is what the orders of the day would become if a wrap's own mass were corrected.
type Trial struct {
	Learnt
	Day     calendar.Day `json:"day"`    // of hand-over
	Orders  int          `json:"orders"` // that may be packed
	Rows    []TrialRow   `json:"rows"`   // those that the wrap is used for, now or then
	Now     money.Amount `json:"cost_now"`
	After   money.Amount `json:"cost_then"`
	More    money.Amount `json:"more"`
	Crossed int          `json:"crossed"` // parcels that cross a step of their price
	Stopped bool         `json:"stopped,omitempty"`
}

// TrialRow is one order, with those that it shares parcels with.
type TrialRow struct {
	Order   string        `json:"order"`
	Parcels []TrialParcel `json:"parcels"`
	Now     money.Amount  `json:"cost_now"`
	After   money.Amount  `json:"cost_then"`
	More    money.Amount  `json:"more"`
	Held    string        `json:"held,omitempty"`  // why it cannot go then
	Other   bool          `json:"other,omitempty"` // it is packed or sent another way then; Parcels are those of now
}

// TrialParcel is one parcel, as planned with the margin.
type TrialParcel struct {
	Mass    measure.Mass `json:"mass"`
	After   measure.Mass `json:"mass_then"`
	Step    measure.Mass `json:"step,omitempty"` // of its price; 0 = the price is not by mass
	Beyond  measure.Mass `json:"step_then,omitempty"`
	Crossed bool         `json:"crossed,omitempty"`
}

// Masses says what the parcels of an order are planned to weigh, and would: "1 lb 1.9 oz → 1 lb 2.4 oz".
func (r TrialRow) Masses(u measure.System) string {
	var out []string
	for _, p := range r.Parcels {
		text := p.Mass.About(u)
		if p.After != p.Mass {
			text += " → " + p.After.About(u)
		}
		out = append(out, text)
	}
	return strings.Join(out, "; ")
}

// Says says what becomes of an order besides its cost.
func (r TrialRow) Says(u measure.System) string {
	switch {
	case r.Held != "":
		return "cannot go then: " + r.Held
	case r.Other:
		return "goes another way then"
	}
	var out []string
	for _, p := range r.Parcels {
		if p.Crossed {
			out = append(out, "crosses the step of "+min(p.Step, p.Beyond).In(u))
		}
	}
	if len(out) == 0 {
		return "the weight alone"
	}
	return strings.Join(out, "; ")
}

// TryLater reads what a trial follows from; the plans are made later, by the same function as those of the bench. Faults: Missing.
func TryLater(ctx context.Context, s *studio.Studio, wrap string) (Learnt, studio.Later[Trial], error) {
	var l Learnt
	var now, then dayplan.Ask
	err := read(ctx, s, func(t *Weighing) (err error) {
		if l, err = t.of(wrap); err != nil {
			return err
		}
		if now, err = planning.DayAsk(s, planning.In(t.Turn), calendar.Day{}, nil); err != nil {
			return err
		}
		then, err = planning.DayAsk(s, planning.In(t.With(corrected(t.Set, l))), calendar.Day{}, nil)
		return err
	})
	return l, func(ctx context.Context) (Trial, error) { return compare(ctx, s, l, now, then) }, err
}

// Try is TryLater at once.
func Try(ctx context.Context, s *studio.Studio, wrap string) (Trial, error) {
	_, later, err := TryLater(ctx, s, wrap)
	return studio.Now(ctx, later, err)
}

// compare plans a day both ways.
func compare(ctx context.Context, s *studio.Studio, l Learnt, now, then dayplan.Ask) (Trial, error) {
	cur := now.Base.Currency
	out := Trial{Learnt: l, Day: now.Base.Day, Orders: len(now.Ids), Now: money.Of(0, cur), After: money.Of(0, cur), More: money.Of(0, cur)}
	quiet := dayplan.Quietly(ctx)
	before, err := s.Plans.Of(quiet, now)
	if err != nil {
		return out, err
	}
	after, err := s.Plans.Of(quiet, then)
	if err != nil {
		return out, err
	}
	out.Stopped = dayplan.Stopped(quiet)
	for _, id := range now.Ids {
		a, b := before[id], after[id]
		if !a.Leads(id) || !a.Goes() || !uses(a.Plan, l.Wrap) && !uses(b.Plan, l.Wrap) {
			continue
		}
		row := rowOf(a, b, cur)
		out.Rows = append(out.Rows, row)
		for _, p := range row.Parcels {
			if p.Crossed {
				out.Crossed++
			}
		}
		if row.Held == "" {
			out.Now.Minor, out.After.Minor, out.More.Minor = out.Now.Minor+row.Now.Minor, out.After.Minor+row.After.Minor, out.More.Minor+row.More.Minor
		}
	}
	return out, nil
}

func uses(p packing.Plan, wrap string) bool {
	return slices.ContainsFunc(p.Parcels, func(pc packing.Parcel) bool { return pc.Wrap == wrap })
}

func rowOf(a, b dayplan.Plan, cur string) TrialRow {
	cards, cardsThen := a.Ask.Whole().Cards, b.Ask.Whole().Cards
	row := TrialRow{Order: a.Plan.Parcels[0].Order, Now: money.Of(a.Plan.Total, cur), After: money.Of(a.Plan.Total, cur), More: money.Of(0, cur)}
	if !b.Goes() {
		row.Held = b.Held()
	} else {
		row.After, row.More = money.Of(b.Plan.Total, cur), money.Of(b.Plan.Total-a.Plan.Total, cur)
		row.Other = !slices.EqualFunc(a.Plan.Parcels, b.Plan.Parcels, alike)
	}
	for i, pc := range a.Plan.Parcels {
		x := TrialParcel{Mass: pc.Mass, After: pc.Mass, Step: step(pc, cards)}
		x.Beyond = x.Step
		if row.Held == "" && !row.Other {
			x.After, x.Beyond = b.Plan.Parcels[i].Mass, step(b.Plan.Parcels[i], cardsThen)
		}
		x.Crossed = x.Step != x.Beyond
		row.Parcels = append(row.Parcels, x)
	}
	return row
}

// alike reports whether two parcels are packed and sent the same way.
func alike(a, b packing.Parcel) bool {
	return a.Wrap == b.Wrap && a.Card == b.Card && a.Service == b.Service && slices.Equal(a.Contents, b.Contents) && slices.Equal(a.Layers, b.Layers)
}

// step is the step of a parcel's price; 0 when it is not by mass.
func step(pc packing.Parcel, cards []tariff.Card) measure.Mass {
	at, _, _ := pc.Spare(cards)
	return at
}
