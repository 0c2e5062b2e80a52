package waiting_test

import (
	"strings"
	"testing"
	"time"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/order"
	"solander/paperwork"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/waiting"
)

const sleeve = "sleeve-11.25x14.25"

// lastSleeve is a studio with one sleeve left. An order of today would take it, and costs 22 more without; two prints of tomorrow, in one
// order that is not signed yet, cost 846 more without. cheap is what the order of today costs with it.
func lastSleeve(t testing.TB) (b *bed.Bed, today, tomorrow studio.OrderView, cheap int64) {
	b = bed.New(t)
	b.Times.Bench = time.Minute
	today, tomorrow = b.Ready(b.Heron.ID), b.Paid(b.Heron.ID, b.Card.ID)
	b.Scarce(1, sleeve)
	return b, today, tomorrow, planned(groups(b))
}

// told are the details of the tasks of an order.
func told(b *bed.Bed, id int64) string {
	var out []string
	for _, tasks := range groups(b) {
		for _, t := range tasks {
			if t.Order == id {
				out = append(out, t.Detail...)
			}
		}
	}
	return strings.Join(out, "\n")
}

// The last sleeve is kept for an order that goes tomorrow: told, accepted with one deed, then the bench's plan and papers of today do without it
// and cost what the days ahead say; given up, taken back and said again. Its day comes, and it is its own.
func TestTheLastIsKept(t *testing.T) {
	b, today, tomorrow, cheap := lastSleeve(t)
	v := ahead(b)
	o := find(t, v, tomorrow.Mark)
	if o.Waits || o.Said || o.Day != thursday || o.Keeps[sleeve] != 1 || len(o.Keeps) != 1 || !strings.HasPrefix(o.Text, "goes Thu 5 Mar: keep 1 × ") {
		t.Fatalf("%+v", o)
	}
	if v.Days[0].Cost.Minor <= cheap {
		t.Fatalf("today costs %s with the sleeve kept, %d without: nothing is tested", v.Days[0].Cost, cheap)
	}
	name := b.Shelf()[sleeve].Spec.Name
	says := "1 × " + name + " is kept for it until Thu 5 Mar"
	got, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: tomorrow.ID, Until: thursday})
	b.Must(err)
	if got.Text != says || !got.Said {
		t.Errorf("%+v, want %q", got, says)
	}
	spared := func(is bool) {
		t.Helper()
		took := false
		for _, u := range b.Plan(today.ID).Plan.StockUsed {
			took = took || u.Item == sleeve
		}
		cost := planned(groups(b))
		if took == is || is && cost != v.Days[0].Cost.Minor || !is && cost != cheap {
			t.Errorf("its plan takes the sleeve: %v; the bench's plan costs %d", took, cost)
		}
	}
	spared(true)
	now := ahead(b)
	if o := find(t, now, tomorrow.Mark); !o.Said || o.Waits || o.Text != says || o.Keeps[sleeve] != 1 || now.Cost != v.Cost || now.Saves.Sign() < 0 {
		t.Errorf("%+v, all %s, before %s", o, now.Cost, v.Cost)
	}
	if got := told(b, tomorrow.ID); !bed.Contains(got, says) {
		t.Errorf("the bench says %q", got)
	}
	_, err = paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, paperwork.Everything)
	b.Must(err)
	mark := b.Latest(studio.MarkWaits)
	b.Must(dispatch.Undo(b.Ctx, b.Studio, mark.ID))
	spared(false)
	_, err = waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: tomorrow.ID})
	b.Must(err)
	b.Must(waiting.SendToday(b.Ctx, b.Studio, tomorrow.ID))
	spared(false)
	b.Refused(waiting.SendToday(b.Ctx, b.Studio, tomorrow.ID), fault.Refused, "", "nobody said")
	_, err = waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: tomorrow.ID})
	b.Must(err)
	_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: today.ID})
	b.Must(err)
	if b.Shelf()[sleeve].Stock != 1 {
		t.Errorf("packed today: %d sleeves are left", b.Shelf()[sleeve].Stock)
	}
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(tomorrow)))
	b.Clock.Set(2026, 3, 5)
	if g := groups(b); len(g[bench.PackOrders]) != 1 || len(g[bench.Waits]) != 0 {
		t.Errorf("%+v", g)
	}
	took := false
	for _, u := range b.Plan(tomorrow.ID).Plan.StockUsed {
		took = took || u.Item == sleeve
	}
	if !took {
		t.Error("it does not take what was kept for it")
	}
	b.Sound()
}

// It may go sooner than was thought: what was kept is there for all of today, and the plan of today shares it out.
func TestSignedToday(t *testing.T) {
	b, _, tomorrow, _ := lastSleeve(t)
	_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: tomorrow.ID})
	b.Must(err)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(tomorrow)))
	if g := groups(b); len(g[bench.PackOrders]) != 2 || len(g[bench.Waits]) != 0 || g[bench.PackOrders][0].Blocked+g[bench.PackOrders][1].Blocked != "" {
		t.Errorf("%+v", g)
	}
	if v := ahead(b); planned(groups(b)) != v.Days[0].Cost.Minor || len(v.Days[0].Sent) != 2 {
		t.Errorf("%+v", v)
	}
}

// When the order does not go by then, or there is no such piece any more, nothing is kept, and its artist is told why.
func TestNothingIsKeptAnyMore(t *testing.T) {
	for name, c := range map[string]struct {
		change func(b *bed.Bed, tomorrow studio.OrderView)
		says   string
	}{
		"her shelf is bare": {func(b *bed.Bed, _ studio.OrderView) { b.Scarce(0, sleeve) }, ": 0 there"},
		"it owes money": {func(b *bed.Bed, tomorrow studio.OrderView) {
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: tomorrow.ID, Amount: bed.USD(1_00), Kind: order.Refund}))
		}, "is still owed"},
	} {
		t.Run(name, func(t *testing.T) {
			b, _, tomorrow, cheap := lastSleeve(t)
			_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: tomorrow.ID})
			b.Must(err)
			c.change(b, tomorrow)
			if got := told(b, tomorrow.ID); !bed.Contains(got, "it does not hold that 1 × ") || !bed.Contains(got, c.says) {
				t.Errorf("the bench says %q", got)
			}
			if cost := planned(groups(b)); name == "it owes money" && cost != cheap {
				t.Errorf("today costs %d, want %d", cost, cheap)
			}
		})
	}
	b, _, tomorrow, cheap := lastSleeve(t)
	_, err := waiting.Wait(b.Ctx, b.Studio, waiting.WaitIn{Order: tomorrow.ID})
	b.Must(err)
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: tomorrow.ID, Reason: "changed her mind"}))
	if cost := planned(groups(b)); cost != cheap {
		t.Errorf("cancelled: today costs %d, want %d", cost, cheap)
	}
}

// What comes in counts off what is ordered; taken back, it is ordered again for the day that was given. More than was ordered leaves nothing
// to come.
func TestRestockAgainstOrderedPieces(t *testing.T) {
	for _, c := range []struct {
		came, coming, again int
		day                 calendar.Day
	}{{10, 15, 25, friday}, {25, 0, 25, friday}, {30, 0, 25, friday}} {
		b := bed.New(t)
		it := b.Shelf()[sleeve]
		had := it.Stock
		expect(b, it, 25, friday)
		b.Must(stockroom.Restock(b.Ctx, b.Studio, it.ID, c.came, nil))
		now := b.Shelf()[sleeve]
		if now.Stock != had+c.came || now.Coming != c.coming || now.Expected.IsZero() != (c.coming == 0) {
			t.Errorf("%d came: %d there, %d to come %s", c.came, now.Stock, now.Coming, now.Expected)
		}
		b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkRestocked).ID))
		if now = b.Shelf()[sleeve]; now.Stock != had || now.Coming != c.again || now.Expected != c.day {
			t.Errorf("%d came, taken back: %d there, %d to come %s", c.came, now.Stock, now.Coming, now.Expected)
		}
		b.Sound()
	}
}
