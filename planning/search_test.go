package planning_test

import (
	"context"
	"strings"
	"sync"
	"testing"

	"solander/bench"
	"solander/calendar"
	"solander/daybench"
	"solander/dayplan"
	"solander/internal/bed"
	"solander/packing"
	"solander/planning"
	"solander/studio"
	"solander/suppose"
)

// ended is a search that is over before it begins.
func ended(ctx context.Context) context.Context {
	until, stop := context.WithCancel(ctx)
	stop()
	return dayplan.WithSearch(ctx, until, nil)
}

// A search that is over still answers: what has no plan is held as not finished, which is not remembered.
func TestAnEndedSearchAnswers(t *testing.T) {
	b := bed.New(t)
	v := b.Ready(b.Heron.ID)
	got, err := planning.Plan(ended(b.Ctx), b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	if got.Plan.Status != packing.NotProven || len(got.Plan.Parcels) != 0 || !strings.Contains(got.Why().Orders[0].Held, "stopped") {
		t.Errorf("%+v", got.Plan)
	}
	list, err := daybench.List(ended(b.Ctx), b.Studio, calendar.Day{})
	b.Must(err)
	if tasks := list.Groups[bench.PackOrders]; len(tasks) != 1 || !strings.Contains(tasks[0].Blocked, "stopped") {
		t.Errorf("%+v", tasks)
	}
	more, err := suppose.AskOneMore(ended(b.Ctx), b.Studio, calendar.Day{}, nil)
	b.Must(err)
	if !more.Stopped {
		t.Errorf("one more: %+v", more)
	}
	got, err = planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	if got.Plan.Status != packing.Optimal {
		t.Errorf("what was not finished is remembered: %+v", got.Plan)
	}
	again, err := planning.Plan(ended(b.Ctx), b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	if again.Plan.Status != packing.Optimal {
		t.Error("what is known is not answered")
	}
}

// The end of the context itself is no answer.
func TestACancelledContextIsAFault(t *testing.T) {
	b := bed.New(t)
	v := b.Ready(b.Heron.ID)
	ctx, stop := context.WithCancel(b.Ctx)
	stop()
	if _, err := planning.Plan(ctx, b.Studio, v.ID, calendar.Day{}); err == nil {
		t.Error("it answers")
	}
}

// A search tells how far it is: of several orders how many are planned.
func TestASearchTellsHowFarItIs(t *testing.T) {
	b := bed.New(t)
	for range 3 {
		b.Ready(b.Heron.ID)
	}
	var mu sync.Mutex
	var seen []int
	tell := func(done, all int) {
		mu.Lock()
		defer mu.Unlock()
		if all != 3 {
			t.Errorf("%d of %d", done, all)
		}
		seen = append(seen, done)
	}
	_, err := daybench.List(dayplan.WithSearch(b.Ctx, b.Ctx, tell), b.Studio, calendar.Day{})
	b.Must(err)
	if len(seen) != 3 {
		t.Errorf("told %v", seen)
	}
}

// Scarce packaging that was not shared out in time is told to the orders that take it.
func TestAnEndedSearchSharesNothingOut(t *testing.T) {
	b := bed.New(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Heron.ID)
	for _, o := range []studio.OrderView{first, second} { // known before the envelope becomes scarce: two are plenty for one
		_, err := planning.Plan(b.Ctx, b.Studio, o.ID, calendar.Day{})
		b.Must(err)
	}
	b.Scarce(1, "envelope-13x17")
	_, err := planning.Plan(b.Ctx, b.Studio, first.ID, calendar.Day{}) // and shared out once
	b.Must(err)
	got, err := planning.Plan(ended(b.Ctx), b.Studio, first.ID, calendar.Day{})
	b.Must(err)
	if len(got.Plan.Parcels) != 1 || len(got.Shared) != 1 || !strings.Contains(got.Shared[0], "before it was shared out") {
		t.Errorf("%d parcels, shared %q", len(got.Plan.Parcels), got.Shared)
	}
}
