package waiting_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/paperwork"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/waiting"
)

func TestMain(m *testing.M) { bed.Properties(m) }

// ahead plans the days.
func ahead(b *bed.Bed) waiting.View {
	b.Helper()
	v, err := waiting.Ahead(b.Ctx, b.Studio, 0)
	b.Must(err)
	return v
}

func find(t testing.TB, v waiting.View, mark string) waiting.Order {
	t.Helper()
	for _, o := range v.Orders {
		if o.Mark == mark {
			return o
		}
	}
	t.Fatalf("%s is not among the days ahead: %+v", mark, v.Orders)
	return waiting.Order{}
}

func groups(b *bed.Bed) map[bench.Group][]bench.Task {
	b.Helper()
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	return list.Groups
}

// ordered is a run of reeds that is expected on a day.
func ordered(b *bed.Bed, expected calendar.Day) supply.Run {
	b.Helper()
	r, err := stockroom.OrderRun(b.Ctx, b.Studio, supply.Run{Edition: b.Reeds.ID, Lab: "Quay lab", Expected: expected, Quantity: 3})
	b.Must(err)
	return r
}

var (
	wednesday = calendar.Date(2026, 3, 4)
	thursday  = wednesday.Add(1)
	friday    = wednesday.Add(2)
)

// two is a studio whose bench has an order to pack, and another of the same buyer whose sheet is expected tomorrow.
func two(t testing.TB) (b *bed.Bed, here, comes studio.OrderView) {
	b = bed.New(t)
	b.Times.Bench = time.Minute
	b.Combine(true)
	here, comes = b.Ready(b.Heron.ID), b.Paid(b.Reeds.ID)
	ordered(b, thursday)
	return b, here, comes
}

// An order may wait for another of its buyer whose sheet comes tomorrow: told with what it saves, said with one deed, then in a group of its
// own and in no plan; sent at once after all, or taken back in the journal, it is to be packed again.
func TestAnOrderWaitsForAnother(t *testing.T) {
	b, here, comes := two(t)
	v := ahead(b)
	o := find(t, v, here.Mark)
	if !o.Waits || o.Day != thursday || o.Saves.Sign() <= 0 || o.With[0] != comes.Mark || !v.Proven || o.Said {
		t.Fatalf("%+v", o)
	}
	if len(v.Days) != waiting.Days || len(v.Days[0].Sent) != 0 || len(v.Days[1].Sent) != 1 || v.Days[1].Saves != o.Saves || v.Saves != o.Saves {
		t.Errorf("%+v", v)
	}
	if want := "may wait until Thu 5 Mar: saves " + o.Saves.String() + ", with " + comes.Mark; o.Text != want {
		t.Errorf("it says %q, want %q", o.Text, want)
	}
	if g := groups(b); len(g[bench.PackOrders]) != 1 || g[bench.PackOrders][0].May != o.Text || len(g[bench.Waits]) != 0 {
		t.Errorf("the bench says %+v", g)
	}
	_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: here.ID, Until: friday})
	b.Refused(err, fault.Refused, "until", "on Thu 5 Mar now")
	_, err = waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: here.ID, Until: o.Day})
	b.Must(err)
	g := groups(b)
	if len(g[bench.PackOrders]) != 0 || len(g[bench.Waits]) != 1 || g[bench.Waits][0].Until != thursday || !strings.HasPrefix(g[bench.Waits][0].Why, "waits until Thu 5 Mar: saves") {
		t.Errorf("the bench says %+v", g)
	}
	_, err = paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, paperwork.Everything)
	b.Refused(err, fault.Refused, "", "nothing is to be packed")
	if o := find(t, ahead(b), here.Mark); !o.Said || !o.Waits || o.Saves.Sign() <= 0 {
		t.Errorf("%+v", o)
	}
	mark := b.Latest(studio.MarkWaits)
	b.Must(dispatch.Undo(b.Ctx, b.Studio, mark.ID))
	if g := groups(b); len(g[bench.PackOrders]) != 1 || b.Order(here.ID).Wait != nil {
		t.Errorf("taken back: %+v", g)
	}
	_, err = waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: here.ID})
	b.Must(err)
	b.Must(waiting.SendToday(b.Ctx, b.Studio, here.ID))
	if g := groups(b); len(g[bench.PackOrders]) != 1 || len(g[bench.Waits]) != 0 {
		t.Errorf("sent at once: %+v", g)
	}
	b.Refused(waiting.SendToday(b.Ctx, b.Studio, here.ID), fault.Refused, "", "nobody said")
	b.Sound()
}

// The day comes: it is to be packed again, and goes with the other.
func TestItsDayComes(t *testing.T) {
	b, here, _ := two(t)
	_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: here.ID})
	b.Must(err)
	b.Clock.Set(2026, 3, 5)
	if g := groups(b); len(g[bench.PackOrders]) != 1 || len(g[bench.Waits]) != 0 {
		t.Errorf("%+v", g)
	}
}

// What it waits for does not come, or its promise is nearer: it waits no more, and is told why.
func TestFactsChange(t *testing.T) {
	for name, c := range map[string]struct {
		change func(b *bed.Bed, here, comes studio.OrderView)
		says   string
	}{
		"the other is cancelled": {func(b *bed.Bed, _, comes studio.OrderView) {
			b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: comes.ID, Reason: "changed her mind"}))
		}, "is not open any more"},
		"the run is closed": {func(b *bed.Bed, _, _ studio.OrderView) { b.Must(stockroom.CloseRun(b.Ctx, b.Studio, 1)) }, "a sheet of it is not ordered"},
		"the promise is nearer": {func(b *bed.Bed, here, _ studio.OrderView) {
			near := wednesday.Add(1)
			amend(b, book.AmendIn{Order: here.ID, Promised: &near})
		}, "its promise is too near"},
		"more is kept in reserve": {func(b *bed.Bed, _, _ studio.OrderView) {
			b.ChangeSettings(func(set *studio.Settings) { set.Reserve = bed.Ptr(3) })
		}, "its promise is too near"},
	} {
		t.Run(name, func(t *testing.T) {
			b, here, comes := two(t)
			_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: here.ID})
			b.Must(err)
			c.change(b, here, comes)
			g := groups(b)
			if len(g[bench.Waits]) != 0 || len(g[bench.PackOrders]) != 1 || !bed.Contains(strings.Join(g[bench.PackOrders][0].Detail, "\n"), c.says) {
				t.Errorf("%+v", g)
			}
		})
	}
}

// A run that is late: the day after it was expected, the order that waited for it until later is told.
func TestTheRunIsLate(t *testing.T) {
	b := bed.New(t)
	b.Combine(true)
	b.ChangeSettings(func(set *studio.Settings) { set.Reserve = bed.Ptr(0) })
	here := b.Ready(b.Heron.ID)
	b.Paid(b.Reeds.ID)
	ordered(b, friday)
	_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: here.ID})
	b.Must(err)
	if b.Order(here.ID).Wait.Until != friday {
		t.Fatalf("%+v", b.Order(here.ID).Wait)
	}
	b.Must(stockroom.CloseRun(b.Ctx, b.Studio, 1))
	ordered(b, friday.Add(3))
	g := groups(b)
	if len(g[bench.PackOrders]) != 1 || !bed.Contains(strings.Join(g[bench.PackOrders][0].Detail, "\n"), "run 2 is expected on Mon 9 Mar") {
		t.Errorf("%+v", g)
	}
}

// Nothing waits past its promise less the reserve; where that is nearer than the run, it goes today.
func TestNothingWaitsPastItsPromise(t *testing.T) {
	b, here, _ := two(t)
	near := thursday
	amend(b, book.AmendIn{Order: here.ID, Promised: &near})
	if o := find(t, ahead(b), here.Mark); o.Waits || o.Day != wednesday || o.Last != wednesday {
		t.Errorf("%+v", o)
	}
	b.ChangeSettings(func(set *studio.Settings) { set.Reserve = bed.Ptr(0) })
	if o := find(t, ahead(b), here.Mark); !o.Waits || o.Last != thursday {
		t.Errorf("without a reserve: %+v", o)
	}
	_, err := waiting.Ahead(b.Ctx, b.Studio, waiting.MostDays+1)
	b.Refused(err, fault.Invalid, "days", "cannot be planned")
}

// An order that is not paid is in no plan, as on the bench.
func TestWhatIsNotPaidIsNotPlanned(t *testing.T) {
	b := bed.New(t)
	b.Take(b.Sale())
	if v := ahead(b); len(v.Orders) != 0 {
		t.Errorf("%+v", v)
	}
}

// Packaging that comes on Friday: the order that would take it today waits, and is told when it came sooner, or is not expected any more.
func TestPackagingThatComes(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*bed.Bed, studio.ShelfItem)
		says   string
	}{
		"it came":             {func(b *bed.Bed, it studio.ShelfItem) { b.Must(stockroom.Restock(b.Ctx, b.Studio, it.ID, 25, nil)) }, "came"},
		"it is expected late": {func(b *bed.Bed, it studio.ShelfItem) { expect(b, it, 25, friday.Add(7)) }, "not expected by then"},
	} {
		t.Run(name, func(t *testing.T) {
			b := bed.New(t)
			o := b.Ready(b.Heron.ID)
			used := b.Plan(o.ID).Plan.StockUsed
			last := b.Shelf()[used[len(used)-1].Item]
			cheap := b.Plan(o.ID).Plan.Total
			b.Scarce(0, last.Spec.ID)
			dear := b.Plan(o.ID).Plan.Total
			if dear <= cheap {
				t.Fatalf("%d without %s, %d with it: nothing is tested", dear, last.Spec.ID, cheap)
			}
			last = b.Shelf()[last.Spec.ID]
			expect(b, last, 25, friday)
			got := find(t, ahead(b), o.Mark)
			if !got.Waits || got.Day != friday || got.Saves.Minor != dear-cheap || len(got.Comes) != 1 {
				t.Fatalf("%+v, want %d", got, dear-cheap)
			}
			_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: o.ID})
			b.Must(err)
			if g := groups(b); len(g[bench.Waits]) != 1 {
				t.Fatalf("%+v", g)
			}
			c.change(b, b.Shelf()[last.Spec.ID])
			if g := groups(b); len(g[bench.PackOrders]) != 1 || !bed.Contains(strings.Join(g[bench.PackOrders][0].Detail, "\n"), c.says) {
				t.Errorf("%+v", g)
			}
		})
	}
}

func expect(b *bed.Bed, it studio.ShelfItem, pieces int, day calendar.Day) {
	b.Helper()
	it.Coming, it.Expected = pieces, day
	_, err := stockroom.SaveShelfItem(b.Ctx, b.Studio, it)
	b.Must(err)
}

// Once all that may wait is told to, the bench's plan of today costs what the days ahead say of today; the days ahead are as they were.
func TestTodayIsWhatTheBenchDoes(t *testing.T) {
	waited, kept := 0, 0
	day := func(rt *rapid.T) {
		b := bed.New(t)
		b.Combine(true)
		ordered(b, thursday.Add(rapid.IntRange(0, 1).Draw(rt, "comes")))
		for range rapid.IntRange(1, 2).Draw(rt, "ready") {
			b.Ready(rapid.SampledFrom([]int64{b.Heron.ID, b.Card.ID}).Draw(rt, "edition"))
		}
		b.Paid(b.Reeds.ID)
		if rapid.Bool().Draw(rt, "another buyer") {
			in := b.Sale()
			in.Buyer, in.ShipTo.Line1 = order.Buyer{Name: "Odo Fenn", Email: "odo@example.org"}, "3 Mill Road"
			v := b.Take(in)
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		}
		if rapid.IntRange(0, 4).Draw(rt, "last sleeve") > 0 {
			near := thursday
			for _, id := range []int64{b.Ready(b.Heron.ID).ID, b.Paid(b.Heron.ID, b.Card.ID).ID} {
				in := book.AmendIn{Order: id, Promised: &near}
				amend(b, in)
			}
			b.Scarce(rapid.SampledFrom([]int{1, 1, 2}).Draw(rt, "sleeves"), sleeve)
		}
		if used := b.Plan(1).Plan.StockUsed; rapid.Bool().Draw(rt, "scarce") && len(used) > 0 {
			b.Scarce(used[len(used)-1].Count, used[len(used)-1].Item)
		}
		was := ahead(b)
		for _, o := range was.Orders {
			if o.Waits && !o.Must || len(find(b, ahead(b), o.Mark).Keeps) > 0 {
				_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: o.ID, Until: o.Day})
				b.Must(err)
				if waited++; !o.Waits {
					waited, kept = waited-1, kept+1
				}
			}
		}
		now := ahead(b)
		if now.Cost != was.Cost {
			rt.Fatalf("all cost %s, and %s before", now.Cost, was.Cost)
		}
		if today := planned(groups(b)); today != now.Days[0].Cost.Minor {
			rt.Fatalf("the bench's plan costs %d, the days ahead say %s", today, now.Days[0].Cost)
		}
		b.Sound()
	}
	rapid.Check(t, day)
	for range 9 { // a run that drew little draws on
		if t.Failed() || testing.Short() || waited > 0 && kept > 0 {
			break
		}
		rapid.Check(t, day)
	}
	if waited+kept == 0 || !testing.Short() && (waited == 0 || kept == 0) { // a short run draws few
		t.Errorf("%d orders waited, for %d something was kept: nothing was tested", waited, kept)
	}
}

// planned adds up what the bench packs.
func planned(g map[bench.Group][]bench.Task) int64 {
	sum := int64(0)
	for _, t := range g[bench.PackOrders] {
		sum += t.Total.Minor
	}
	return sum
}

func amend(b *bed.Bed, in book.AmendIn) {
	b.Helper()
	_, err := book.Amend(b.Ctx, b.Studio, in)
	b.Must(err)
}
