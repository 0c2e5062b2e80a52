// Package today is the bench in a browser: what to do on a day, and the deeds that are done there and on the page of an
// order (pay, sign, pack, label), scanning, the hand-over, and the papers of the day. Each exported method of Bench
// answers one route of package web.
package today

import (
	"net/http"

	"solander/bench"
	"solander/calendar"
	"solander/currencies"
	"solander/daybench"
	"solander/dispatch"
	"solander/exchange"
	"solander/house"
	"solander/intake/kept"
	"solander/movein"
	"solander/pricecards"
	"solander/tariff/renew"
	webcopies "solander/web/copies"
	"solander/web/page"
	"solander/web/scale"
)

// Bench is the handlers of this room.
type Bench struct {
	*page.Kit
	paid pricecards.Watch
}

// BenchPage is what to do on a day.
type BenchPage struct {
	page.Frame
	Day      calendar.Day
	List     bench.List
	Look     look
	Ahead    []dayAhead
	AheadBar string // what a bar of the strip stands for; "" = one order
	Groups   []taskGroup
	Empty    bool
	Next     []nextStep // in a studio that has sold nothing yet: the three things to do next
	Marks    []page.MarkLine
	Aside    []kept.Arrival // files of watched folders that wait for her

	Cautions []string        // of the plans and parcels of the day, each once
	Drifts   []renew.Drift   // services that cost her other than their cards say
	Copies   webcopies.Words // how the copies of the studio stand
	Learnt   []scale.Line    // wraps whose parcels weigh other than planned

	abroad map[int64]exchange.Owing // orders that are owed in another currency
}

func (f *Bench) Bench(w http.ResponseWriter, r *http.Request) error { return f.ShowBench(w, r, nil) }

func (f *Bench) ShowBench(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	ctx, s := r.Context(), f.Seen(r)
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	look, err := lookOf(r)
	if err != nil {
		return err
	}
	list, works, err := daybench.Later(ctx, s, day)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "bench", "Bench")
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, works...); err != nil {
		return err
	}
	marks, err := dispatch.RecentMarks(ctx, s)
	if err != nil {
		return err
	}
	waiting, err := movein.Arrivals(ctx, s)
	if err != nil {
		return err
	}
	next, err := house.NextSteps(ctx, s)
	if err != nil {
		return err
	}
	drifts, err := f.paid.Told(ctx, s)
	if err != nil {
		return err
	}
	learnt, err := scale.Told(ctx, s)
	if err != nil {
		return err
	}
	abroad, err := currencies.Open(ctx, s)
	if err != nil {
		return err
	}
	made, err := webcopies.Look(ctx, s)
	if err != nil {
		return err
	}
	return page.Planned(f.Kit, w, r, "Bench", "bench", list, func(w http.ResponseWriter, r *http.Request, list bench.List) error {
		p := &BenchPage{Frame: fr, Day: list.Day, List: list, Look: look, Marks: page.MarkLines(marks, 8, "/"), Drifts: drifts, Learnt: learnt, Copies: made, abroad: abroad}
		p.Tell(fail)
		p.arrange(fail)
		p.ahead()
		p.Next = nextSteps(next)
		for _, a := range waiting {
			if a.Source == kept.FromFolder {
				p.Aside, p.Empty = append(p.Aside, a), false
			}
		}
		return f.Show(w, r, page.StatusOf(fail), "bench", p)
	})
}
