package planning_test

import (
	"strings"
	"testing"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/internal/bed"
	"solander/planning"
	"solander/stockroom"
	"solander/studio"
	"solander/suppose"
)

// Two orders of one heron each would both take the one outer envelope that is left: the bench gives it to
// one and another package to the other, and what it shows can be packed in either order.
func TestTwoOrdersShareTheLastEnvelope(t *testing.T) {
	b := bed.New(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Heron.ID)
	b.Scarce(1, "envelope-13x17")
	plans := map[string]planning.PlanView{}
	taken, total := 0, int64(0)
	for _, o := range []studio.OrderView{first, second} {
		v, err := planning.Plan(b.Ctx, b.Studio, o.ID, calendar.Day{})
		b.Must(err)
		if len(v.Plan.Parcels) != 1 {
			t.Fatalf("%s: %d parcels", o.Mark, len(v.Plan.Parcels))
		}
		for _, u := range v.Plan.StockUsed {
			if u.Item == "envelope-13x17" {
				taken += u.Count
			}
		}
		plans[o.Mark], total = v, total+v.Plan.Total
	}
	if taken != 1 {
		t.Errorf("the plans of the day take %d envelopes, and there is 1", taken)
	}
	shared := 0
	for mark, task := range b.PackTasks() {
		if task.Blocked != "" {
			t.Errorf("%s is held: %s", mark, task.Blocked)
		}
		if strings.Contains(strings.Join(task.Detail, "\n"), "others need it more") {
			shared++
		}
	}
	if shared != 1 {
		t.Errorf("%d orders say that they gave the envelope up, want 1", shared)
	}
	for _, o := range []studio.OrderView{second, first} {
		want := plans[o.Mark].Plan.Total
		if _, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: o.ID, Total: &want}); err != nil {
			t.Errorf("%s is not packed as shown: %v", o.Mark, err)
		}
	}
	b.Sound()
}

// The plan of the day is optimal: of two orders with one envelope left, their sum is that of one alone
// with it and one without it, which is what each costs when planned by itself on such a shelf.
func TestTheSumOfTheDayIsTheLeast(t *testing.T) {
	b := bed.New(t)
	alone := func(left int) int64 {
		b.Helper()
		b.Scarce(left, "envelope-13x17")
		o := b.Paid(b.Heron.ID)
		v, err := planning.Plan(b.Ctx, b.Studio, o.ID, calendar.Day{})
		b.Must(err)
		b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: o.ID, Reason: "only asked"}))
		return v.Plan.Total
	}
	with, without := alone(1), alone(0)
	if with >= without {
		t.Fatalf("with the envelope %d, without %d: it is not scarce", with, without)
	}
	b.Ready(b.Heron.ID)
	b.Ready(b.Heron.ID)
	b.Scarce(1, "envelope-13x17")
	more, err := suppose.AskOneMore(b.Ctx, b.Studio, calendar.Day{}, nil)
	b.Must(err)
	if more.Total != bed.USD(with+without) || more.Held != 0 || more.Orders != 2 {
		t.Errorf("the day costs %s with %d held, want %s", more.Total, more.Held, bed.USD(with+without))
	}
	if len(more.Items) == 0 || more.Items[0].Item != "envelope-13x17" || more.Items[0].Saves != bed.USD(without-with) || more.Items[0].Left != 1 {
		t.Errorf("one more: %+v, want %s", more.Items, bed.USD(without-with))
	}
	want := "one more would save " + bed.USD(without-with).String() + " today"
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	found := false
	for _, task := range list.Groups[bench.Restock] {
		found = found || strings.Contains(strings.Join(task.Detail, "\n"), want)
	}
	if !found {
		t.Errorf("the bench's restock group does not say %q: %+v", want, list.Groups[bench.Restock])
	}
}

// With nothing left to send the second order in, it is held with the reason, and the first goes.
func TestAnOrderThatCannotGoHoldsNoOther(t *testing.T) {
	b := bed.New(t)
	b.Ready(b.Heron.ID)
	b.Ready(b.Heron.ID)
	for key, it := range b.Shelf() {
		switch {
		case key == "envelope-13x17":
			b.Scarce(1, key)
		case strings.HasPrefix(key, "carton") || strings.HasPrefix(key, "tube"), strings.HasPrefix(key, "envelope-14"), strings.HasPrefix(key, "envelope-15"):
			b.Must(stockroom.CountShelf(b.Ctx, b.Studio, it.ID, 0, "none are left"))
		}
	}
	held, goes := 0, 0
	for _, task := range b.PackTasks() {
		if task.Blocked == "" {
			goes++
			continue
		}
		held++
		if !strings.Contains(task.Blocked, "envelope 13 in × 17 in") {
			t.Errorf("the reason does not name the envelope: %q", task.Blocked)
		}
	}
	if held != 1 || goes != 1 {
		t.Errorf("%d go and %d are held, want one of each", goes, held)
	}
	more, err := suppose.AskOneMore(b.Ctx, b.Studio, calendar.Day{}, nil)
	b.Must(err)
	if more.Held != 1 || len(more.Items) == 0 || more.Items[0].Sends != 1 || more.Items[0].Item != "envelope-13x17" {
		t.Errorf("one more: %+v", more)
	}
}
