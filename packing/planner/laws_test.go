package planner_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/internal/brute"
	"solander/internal/speedtest"
	"solander/measure"
	"solander/packing"
	"solander/packing/planner"
	"solander/tariff"
)

// planned are the random problems of the laws and their plans, made once for all of them.
var planned = sync.OnceValues(func() (problems []packing.Problem, plans []packing.Plan) {
	for seed := range uint64(150) {
		p := brute.Any(50_000 + seed)
		plan, err := planner.Plan(context.Background(), p, nil)
		if err != nil {
			panic(fmt.Sprintf("%d: %v", seed, err))
		}
		problems, plans = append(problems, p), append(plans, plan)
	}
	return problems, plans
})

// each calls do with random problems and their plans, which do leaves as they are. The laws below compare a plan with
// that of a changed problem; "more sheets cost more" is no law.
func each(t *testing.T, do func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan)) {
	t.Helper()
	problems, plans := planned()
	for seed, p := range problems {
		do(t, uint64(seed), p, plans[seed])
		if t.Failed() {
			show(t, p, plan(t, p))
			return
		}
	}
}

// clone returns a deep copy, so that a test may change it.
func clone(t *testing.T, p packing.Problem) packing.Problem {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	out, err := packing.ReadProblem(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// dearer reports that plan b is worse than plan a in orders held, then in cost.
func dearer(b, a packing.Plan) bool {
	return b.Held > a.Held || b.Held == a.Held && b.Total > a.Total
}

func TestMoreStockNeverCostsMore(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		for i := range q.Shelf {
			if s := q.Shelf[i].Stock; s != nil {
				*s++
			}
		}
		if now := plan(t, q); dearer(now, was) {
			t.Errorf("%d: %d held and %d, with more stock %d held and %d", seed, was.Held, was.Total, now.Held, now.Total)
		}
	})
}

func TestAnotherItemNeverCostsMore(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		if len(q.Shelf) == 0 {
			return
		}
		item := q.Shelf[0]
		item.ID, item.Cost = "one more", item.Cost/2
		q.Shelf = append(q.Shelf, item)
		if now := plan(t, q); dearer(now, was) {
			t.Errorf("%d: %d, with another item %d", seed, was.Total, now.Total)
		}
	})
}

func TestAnItemNotUsedIsNotMissed(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		used := map[string]bool{}
		for _, u := range was.StockUsed {
			used[u.Item] = true
		}
		for i := range p.Shelf {
			if used[p.Shelf[i].ID] || named(p, p.Shelf[i].ID) {
				continue
			}
			q := clone(t, p)
			q.Shelf = append(q.Shelf[:i:i], q.Shelf[i+1:]...)
			if d := cmp.Diff(was.Parcels, plan(t, q).Parcels, sameDay); d != "" {
				t.Errorf("%d: without %s: %s", seed, p.Shelf[i].ID, d)
			}
			return
		}
	})
}

// named reports that a wrap lists the item, so that it cannot just be taken away.
func named(p packing.Problem, item string) bool {
	for _, w := range p.Wraps {
		for _, l := range w.Layers {
			for _, id := range l.Items {
				if id == item {
					return true
				}
			}
		}
	}
	return false
}

func TestARestrictionNeverSaves(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		one := 1
		q.Rules = append(q.Rules, packing.Rule{ID: "one more rule", Then: packing.Then{SheetsMost: &one, Tracking: seed%2 == 0}})
		if now := plan(t, q); dearer(was, now) {
			t.Errorf("%d: %d, with another rule %d", seed, was.Total, now.Total)
		}
	})
}

func TestTheOrderOfTheListsDoesNotMatter(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		r := rand.New(rand.NewPCG(seed, 7))
		r.Shuffle(len(q.Orders), func(i, j int) { q.Orders[i], q.Orders[j] = q.Orders[j], q.Orders[i] })
		for i := range q.Orders {
			s := q.Orders[i].Sheets
			r.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
		}
		r.Shuffle(len(q.Shelf), func(i, j int) { q.Shelf[i], q.Shelf[j] = q.Shelf[j], q.Shelf[i] })
		r.Shuffle(len(q.Wraps), func(i, j int) { q.Wraps[i], q.Wraps[j] = q.Wraps[j], q.Wraps[i] })
		r.Shuffle(len(q.Cards), func(i, j int) { q.Cards[i], q.Cards[j] = q.Cards[j], q.Cards[i] })
		for i := range q.Cards {
			s := q.Cards[i].Services
			r.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
		}
		if d := cmp.Diff(was, plan(t, q), sameDay); d != "" {
			t.Errorf("%d: %s", seed, d)
		}
	})
}

// Money three times as dear makes a plan three times as dear.
func TestMoneyScales(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		scaleMoney(&q, 3)
		if now := plan(t, q); now.Total != 3*was.Total || now.Held != was.Held {
			t.Errorf("%d: %d, three times as dear %d", seed, was.Total, now.Total)
		}
	})
}

func scaleMoney(p *packing.Problem, n int64) {
	p.Options.MinuteWage *= n
	for i := range p.Shelf {
		p.Shelf[i].Cost *= n
	}
	for i := range p.Cards {
		for j := range p.Cards[i].Services {
			scaleService(&p.Cards[i].Services[j], n)
		}
	}
}

// scaleService leaves values and the bounds of cover alone: they are the sheets', not what is paid.
func scaleService(s *tariff.Service, n int64) {
	for _, r := range s.Prices.Rows {
		for k := range r.Prices {
			if r.Prices[k] != tariff.NotCarried {
				r.Prices[k] *= tariff.Cell(n)
			}
		}
	}
	for i := range s.Surcharges {
		s.Surcharges[i].Amount *= n
	}
	if s.Signature != nil {
		*s.Signature *= n
	}
	if s.Cover != nil {
		s.Cover.PerPrice *= n
		for i := range s.Cover.Steps {
			s.Cover.Steps[i].Price *= n
		}
	}
}

// An order that cannot go leaves the others as they are.
func TestAnImpossibleOrderLeavesTheRestAlone(t *testing.T) {
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		q.Orders = append(q.Orders, packing.Order{ID: "zz", Destination: packing.Place{Country: "US", Postcode: "24060"}, Sheets: []packing.Sheet{
			{ID: "wall", Width: 90 * measure.Metre, Height: 80 * measure.Metre, Caliper: measure.Millimetre, Mass: measure.Kilogram, Stiff: true},
		}})
		now := plan(t, q)
		if d := cmp.Diff(was.Parcels, now.Parcels, sameDay); d != "" || now.Held != was.Held+1 {
			t.Errorf("%d: %d held, then %d; %s", seed, was.Held, now.Held, d)
		}
		if last := now.Orders[len(now.Orders)-1]; last.Status != packing.Infeasible || last.Reason == nil {
			t.Errorf("%d: the impossible order: %+v", seed, last)
		}
	})
}

// The same bytes, whatever the number of processors.
func TestSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for name, p := range map[string]packing.Problem{"a day": readProblem(t, "a-day.json"), "ten kinds": gallery(10), "long": fours(25), "all different": gallery(40), "few to a parcel": few(30, 6), "scarce": scarce(12), "side by side": many(9, 1), "side by side, copies": many(3, 5), "many scarce kinds": scarceKinds(40, 8)} {
		var first []byte
		for _, procs := range []int{1, 2, 4} {
			was := runtime.GOMAXPROCS(procs)
			var text bytes.Buffer
			err := packing.WritePlan(&text, planWith(t, context.Background(), p))
			runtime.GOMAXPROCS(was)
			if err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = text.Bytes()
			}
			if !bytes.Equal(first, text.Bytes()) {
				t.Errorf("%s: other bytes with %d processors", name, procs)
			}
		}
	}
}

// A cancelled computation ends at once and says so.
func TestCancelled(t *testing.T) {
	p := gallery(12)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var got packing.Plan
	quickest := time.Hour // of three
	for range 3 {
		late := speedtest.Late(ctx, t)
		got = planWith(t, ctx, p)
		quickest = min(quickest, late())
	}
	if quickest > mostLate {
		t.Errorf("took %v of the processors after it was cancelled", quickest)
	}
	o := got.Orders[0]
	if got.Status != packing.NotProven || o.Status != packing.NotProven || o.Reason == nil || o.Reason.Rule != "plan.stopped" || o.Bound <= 0 {
		t.Errorf("%+v", o)
	}
}
