package choosing

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"solander/calendar"
	"solander/dayplan"
	"solander/dayplan/trial"
	"solander/fault"
	"solander/money"
	"solander/packing"
	"solander/packing/front"
	"solander/planning"
	"solander/studio"
)

// Choices are the ways to send an order, of which no other is better in cost, arrival and protection at once; the cheapest first. A place
// is -1 when there is no such way. See docs/formats/choices.md.
type Choices struct {
	Day     calendar.Day `json:"day"`              // of hand-over
	Orders  []string     `json:"orders,omitempty"` // that go together, and are chosen for together; none of a quote
	Ways    []Way        `json:"ways"`
	Sooner  int          `json:"sooner"` // the cheapest that arrives a day or more before the cheapest of all
	Safer   int          `json:"safer"`  // the cheapest that is a class stiffer or a step better covered, and worse in neither
	Taken   int          `json:"taken"`  // that which the choice made for the order amounts to; -1: none was made, or it is not kept
	Stopped bool         `json:"stopped,omitempty"`
}

// Way is one way to send, with what it differs by from the cheapest.
type Way struct {
	Cost       money.Amount     `json:"cost"`
	Arrives    calendar.Day     `json:"arrives,omitzero"` // at the latest, all of it; no day = not stated
	Protection front.Protection `json:"protection"`
	More       money.Amount     `json:"more"`
	Guards     string           `json:"guards,omitempty"` // "a class stiffer, a step better covered"; "" = as the cheapest
	Sooner     int              `json:"sooner"`           // days before the cheapest; negative: after it; 0 when either is not stated
	By         []string         `json:"by"`               // "flat in two stiff envelopes, by Ground", each parcel
	Demand     front.Demand     `json:"demand"`           // what is asked of the order when the way is taken
	Proven     bool             `json:"proven"`           // no way that keeps the demand costs less
}

// None are no choices.
func None(day calendar.Day, stopped bool) Choices {
	return Choices{Day: day, Ways: []Way{}, Sooner: -1, Safer: -1, Taken: -1, Stopped: stopped}
}

// mostSought is how long ways are looked for at most: where packaging is scarce, each is a plan of the whole day.
const mostSought = time.Second

// Ways compares the ways to send an order whose plan is known, by what that plan follows from; none when it cannot go, or its plan is not
// proven. Faults: only when
// ctx ends.
func Ways(ctx context.Context, s *studio.Studio, v planning.PlanView) (Choices, error) {
	if v.Plan.Status != packing.Optimal || v.Plan.Held > 0 {
		return None(v.Plan.Day, v.Plan.Status == packing.NotProven), nil
	}
	in, done := context.WithTimeout(ctx, cmp.Or(s.Times.Ways, mostSought))
	defer done()
	out, err := waysOf(in, s, v.Order.ID, v.One, v.All, v.Order.Choice != nil && v.Unkept == "")
	if err != nil && ctx.Err() == nil && errors.Is(err, context.DeadlineExceeded) {
		return None(v.Plan.Day, true), nil
	}
	return out, err
}

// WaysAlone compares the ways to send an order that nobody placed, by what its plan follows from, and the whole of the cheapest; see Ways.
func WaysAlone(ctx context.Context, s *studio.Studio, ask dayplan.Ask) (Choices, error) {
	in, done := context.WithTimeout(ctx, cmp.Or(s.Times.Ways, mostSought))
	defer done()
	out, err := waysOf(in, s, ask.Ids[0], ask, ask, false)
	if err != nil && ctx.Err() == nil && errors.Is(err, context.DeadlineExceeded) {
		return None(ask.Base.Day, true), nil
	}
	out.Orders = nil
	return out, err
}

func waysOf(ctx context.Context, s *studio.Studio, id int64, one, all dayplan.Ask, chosen bool) (Choices, error) {
	t, err := trial.Of(ctx, s.Plans, id, one, all)
	if err != nil {
		return Choices{}, err
	}
	out, err := compare(ctx, t)
	if err != nil || !chosen {
		return out, err
	}
	day := all
	if !slices.Contains(all.Ids, id) {
		day = one
	}
	now, err := t.With(ctx, day.Asked(t.Marks[0]))
	if err != nil {
		return out, err
	}
	out.Taken = slices.IndexFunc(out.Ways, func(w Way) bool { return w.measure() == now.Measure })
	return out, nil
}

func (w Way) measure() front.Measure {
	return front.Measure{Money: w.Cost.Minor, Arrives: w.Arrives, Protection: w.Protection}
}

// compare finds the front of a trial, with each way as it is when it is taken.
func compare(ctx context.Context, t *trial.Trial) (Choices, error) {
	out := None(t.Day.Base.Day, false)
	out.Orders = t.Marks
	first, err := t.With(ctx, front.Demand{})
	if err != nil || !first.Goes || !first.Proven {
		return out, err
	}
	days := front.Arrivals(&first.Problem, &first.Problem.Orders[0])
	found, err := front.Search(days, func(d front.Demand) (front.Measure, bool, error) {
		x, err := t.With(ctx, d)
		return x.Measure, x.Goes, err
	})
	if err != nil {
		return out, err
	}
	var kept []front.Way
	for _, w := range found {
		d, x, err := taken(ctx, t, first, w)
		if err != nil {
			return out, err
		}
		if x.Goes && x.Measure == w.Measure { // where scarce packaging is shared out anew for each way, one may be gone again
			kept = append(kept, w)
			out.Ways = append(out.Ways, wayOf(kept[0].Measure, x, d, t.Day.Base.Currency))
		}
	}
	if len(kept) > 0 {
		out.Sooner, out.Safer = front.Sooner(kept, kept[0].Measure), front.Safer(kept, kept[0].Measure)
	}
	return out, nil
}

// taken is what is asked of the order when a way of the front is taken, and what then becomes of it: nothing when it is planned so anyway;
// else to be as well protected, and to arrive by its day where that is what sets it apart. So a choice for a carton is not lost when packing
// is a day late.
func taken(ctx context.Context, t *trial.Trial, plain trial.Tried, w front.Way) (front.Demand, trial.Tried, error) {
	if plain.Measure == w.Measure {
		return front.Demand{}, plain, nil
	}
	d := front.Demand{Protection: w.Protection}
	x, err := t.With(ctx, d)
	if err == nil && (!x.Goes || x.Measure != w.Measure) {
		d.ArriveBy = w.Arrives
		x, err = t.With(ctx, d)
	}
	return d, x, err
}

// wayOf tells what becomes of an order when something is asked of it.
func wayOf(cheapest front.Measure, x trial.Tried, d front.Demand, currency string) Way {
	out := Way{
		Cost: money.Of(x.Money, currency), Arrives: x.Arrives, Protection: x.Protection, More: money.Of(x.Money-cheapest.Money, currency),
		By: byOf(x), Demand: d, Proven: x.Proven, Guards: x.Against(cheapest.Protection),
	}
	if !x.Arrives.IsZero() && !cheapest.Arrives.IsZero() {
		out.Sooner = cheapest.Arrives.Sub(x.Arrives)
	}
	return out
}

// byOf names wrap and service of each parcel.
func byOf(x trial.Tried) []string {
	var out []string
	for _, pc := range x.Parcels {
		wrap, service := pc.Wrap, pc.Service
		if i := slices.IndexFunc(x.Problem.Wraps, func(w packing.Wrap) bool { return w.ID == pc.Wrap }); i >= 0 {
			wrap = cmp.Or(x.Problem.Wraps[i].Name, wrap)
		}
		for _, c := range x.Problem.Cards {
			if s := c.Service(pc.Service); s != nil && c.ID == pc.Card {
				service = cmp.Or(s.Name, service)
			}
		}
		out = append(out, wrap+", by "+service)
	}
	return out
}

// Says tells a way in a few words: "boxed, arrives by 17 April, 3.20 USD more".
func (w Way) Says() string {
	parts := []string{w.Protection.Packaging.Words(), w.Protection.Care.Words()}
	if !w.Arrives.IsZero() {
		parts = append(parts, "there by "+w.Arrives.Short())
	}
	return strings.Join(append(parts, w.moreText()), ", ")
}

func (w Way) moreText() string {
	if w.More.Sign() == 0 {
		return w.Cost.String()
	}
	return w.More.String() + " more than the cheapest"
}

// Days says how much sooner or later than the cheapest a way arrives; "" when it is the same, or not known.
func (w Way) Days() string {
	switch {
	case w.Sooner > 0:
		return fault.Count(w.Sooner, "day") + " sooner"
	case w.Sooner < 0:
		return fault.Count(-w.Sooner, "day") + " later"
	}
	return ""
}
