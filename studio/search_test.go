package studio_test

import (
	"context"
	"strings"
	"sync"
	"testing"

	"solander/bench"
	"solander/calendar"
	"solander/packing"
	"solander/studio"
)

// ended is a search that is over before it begins.
func ended(ctx context.Context) context.Context {
	until, stop := context.WithCancel(ctx)
	stop()
	return studio.WithSearch(ctx, until, nil)
}

// A search that is over still answers: what has no plan is held as not finished, which is not remembered.
func TestAnEndedSearchAnswers(t *testing.T) {
	b := newBed(t)
	v := b.ready(b.heron.ID)
	got, err := b.Plan(ended(b.ctx), v.ID, calendar.Day{})
	b.must(err)
	if got.Plan.Status != packing.NotProven || len(got.Plan.Parcels) != 0 || !strings.Contains(got.Why().Orders[0].Held, "stopped") {
		t.Errorf("%+v", got.Plan)
	}
	list, err := b.Bench(ended(b.ctx), calendar.Day{})
	b.must(err)
	if tasks := list.Groups[bench.PackOrders]; len(tasks) != 1 || !strings.Contains(tasks[0].Blocked, "stopped") {
		t.Errorf("%+v", tasks)
	}
	more, err := b.OneMore(ended(b.ctx), calendar.Day{}, nil)
	b.must(err)
	if !more.Stopped {
		t.Errorf("one more: %+v", more)
	}
	got, err = b.Plan(b.ctx, v.ID, calendar.Day{})
	b.must(err)
	if got.Plan.Status != packing.Optimal {
		t.Errorf("what was not finished is remembered: %+v", got.Plan)
	}
	again, err := b.Plan(ended(b.ctx), v.ID, calendar.Day{})
	b.must(err)
	if again.Plan.Status != packing.Optimal {
		t.Error("what is known is not answered")
	}
}

// The end of the context itself is no answer.
func TestACancelledContextIsAFault(t *testing.T) {
	b := newBed(t)
	v := b.ready(b.heron.ID)
	ctx, stop := context.WithCancel(b.ctx)
	stop()
	if _, err := b.Plan(ctx, v.ID, calendar.Day{}); err == nil {
		t.Error("it answers")
	}
}

// A search tells how far it is: of several orders how many are planned.
func TestASearchTellsHowFarItIs(t *testing.T) {
	b := newBed(t)
	for range 3 {
		b.ready(b.heron.ID)
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
	_, err := b.Bench(studio.WithSearch(b.ctx, b.ctx, tell), calendar.Day{})
	b.must(err)
	if len(seen) != 3 {
		t.Errorf("told %v", seen)
	}
}

// Scarce packaging that was not shared out in time is told to the orders that take it.
func TestAnEndedSearchSharesNothingOut(t *testing.T) {
	b := newBed(t)
	first, second := b.ready(b.heron.ID), b.ready(b.heron.ID)
	for _, o := range []studio.OrderView{first, second} { // known before the envelope becomes scarce: two are plenty for one
		_, err := b.Plan(b.ctx, o.ID, calendar.Day{})
		b.must(err)
	}
	b.scarce(1, "envelope-13x17")
	_, err := b.Plan(b.ctx, first.ID, calendar.Day{}) // and shared out once
	b.must(err)
	got, err := b.Plan(ended(b.ctx), first.ID, calendar.Day{})
	b.must(err)
	if len(got.Plan.Parcels) != 1 || len(got.Shared) != 1 || !strings.Contains(got.Shared[0], "before it was shared out") {
		t.Errorf("%d parcels, shared %q", len(got.Plan.Parcels), got.Shared)
	}
}
