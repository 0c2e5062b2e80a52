package journal_test

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/demo"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/internal/hledger"
	"solander/internal/pgtest"
	"solander/journal"
	"solander/labelling"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/store"
	"solander/studio"
	"solander/supply"
	"solander/tariff/cards"
)

var (
	histories = flag.Int("histories", 40, "how many random histories are balanced by another program on each engine; the long run is 10000")
	engine    = flag.String("histories-on", "", "the engine of them alone: sqlite or postgres")
	atMost    = flag.Duration("histories-time", 0, "end after so long, and say how many there were; 0 = when all were")
)

// engines open a furnished studio each.
var engines = map[string]func(testing.TB) *bed.Bed{
	"sqlite": bed.New,
	"postgres": func(t testing.TB) *bed.Bed {
		return bed.At(t, pgtest.Copy(t, "furnished", func(dsn string) error {
			return bed.At(t, dsn, true).Store.Close()
		}), false)
	},
}

// togetherInAStudio is how many histories happen in one studio, one after the other, and are balanced at once.
const togetherInAStudio = 20

// ours are the balances that the trial balance says, which comes to nothing.
func ours(t *testing.T, s *studio.Studio) map[string]string {
	t.Helper()
	b, err := journal.Balance(t.Context(), s, journal.Span{})
	if err != nil {
		t.Fatal(err)
	}
	for _, sum := range b.Totals {
		if sum.Debit != sum.Credit {
			t.Errorf("the debits are %d, the credits %d", sum.Debit, sum.Credit)
		}
	}
	out := map[string]string{}
	for _, r := range b.Rows {
		if r.Debit != r.Credit {
			out[r.Name+" "+r.Of] = money.Of(r.Debit-r.Credit, r.Of).Plain()
		}
	}
	return out
}

// rebalanced compares the two account by account, to the cent.
func rebalanced(t *testing.T, s *studio.Studio, least int) {
	t.Helper()
	var text bytes.Buffer
	if err := journal.Write(t.Context(), s, journal.Span{}, false, &text); err != nil {
		t.Fatal(err)
	}
	want, got := hledger.Balances(t, text.Bytes()), ours(t, s)
	if !maps.Equal(want, got) || len(got) < least {
		t.Errorf("%d balances differ from the other program's %d:\nours  %v\nother %v", len(got), len(want), got, want)
	}
}

// TestTheDemoIsRebalanced lets the other program work out every balance of the invented studio with its 600 orders.
func TestTheDemoIsRebalanced(t *testing.T) {
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "demo.db")
	err = demo.Build(t.Context(), func(clock func() time.Time) (studio.Store, error) {
		return store.Open(t.Context(), path, store.Options{Clock: clock, Hasty: true, Story: true})
	}, demo.Options{Day: calendar.Date(2026, 11, 30), Seed: 1, Cards: all})
	if err != nil {
		t.Fatal(err)
	}
	s, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	st := studio.New(s, studio.Options{Cards: studio.Given(all)})
	rebalanced(t, st, 15)
	t.Logf("every balance is the other program's, to the cent: %v", ours(t, st))
}

// TestHistoriesAreRebalanced lets orders, stocks and runs go through whatever may happen to them, in any order, by the use cases
// of the program; many ends are undone again. Whatever was refused left nothing behind. The check finds nothing, and the other program works out the
// same balances.
func TestHistoriesAreRebalanced(t *testing.T) {
	for name, open := range engines {
		if *engine == "" || *engine == name {
			t.Run(name, func(t *testing.T) { rebalance(t, open) })
		}
	}
}

func rebalance(t *testing.T, open func(testing.TB) *bed.Bed) {
	n, begun := *histories, time.Now()
	if testing.Short() {
		n = min(n, togetherInAStudio)
	}
	did := map[string]int{}
	for batch := 0; batch*togetherInAStudio < n; batch++ {
		if *atMost > 0 && time.Since(begun) > *atMost {
			n = batch * togetherInAStudio
			break
		}
		more := min(togetherInAStudio, n-batch*togetherInAStudio)
		t.Run(fmt.Sprintf("batch %d", batch), func(t *testing.T) { // its studio goes with it
			h := newHistory(open(t), 31, uint64(batch), did)
			h.prepare()
			for range more {
				h.live()
			}
			h.Sound()
			rebalanced(t, h.Studio, 8)
			h.groupingsAddUp()
			did["give"] += owedAsTheJournalSays(t, h.Bed)
		})
		if t.Failed() {
			t.FailNow()
		}
	}
	few := n < 2*togetherInAStudio // of them, not every deed is to be expected
	for _, deed := range []string{"sale", "pay", "hand over", "take back", "undo", "refund", "receive", "cancel", "spoil", "give", "credit note", "change a price"} {
		if did[deed] == 0 && !few {
			t.Errorf("nobody could %s: the histories show nothing of it", deed)
		}
	}
	t.Logf("%d histories balance: %v", n, did)
}

// history is a studio in which anything may happen.
type history struct {
	*bed.Bed
	chance *rand.Rand
	late   *rand.Rand // what happens to orders that went
	did    map[string]int
	eds    []edition.Edition
	runs   int64
}

// newHistory is one that is drawn from a seed of two numbers, and counts what was done in did.
func newHistory(b *bed.Bed, seed, and uint64, did map[string]int) *history {
	return &history{Bed: b, chance: rand.New(rand.NewPCG(seed, and)), late: rand.New(rand.NewPCG(seed+6, and)), did: did}
}

func (h *history) prepare() {
	e := bed.Heron()
	e.Limit, e.Grade = 250, "history"
	h.eds = []edition.Edition{h.Declare("Long edition", e), h.Card}
	h.Must(stockroom.CountSheets(h.Ctx, h.Studio, h.eds[0].ID, 30, "found"))
	h.Must(stockroom.CountSheets(h.Ctx, h.Studio, h.eds[1].ID, 60, "found"))
}

// n is a number below most.
func (h *history) n(most int) int { return h.chance.IntN(most) }

func (h *history) cents(most int) money.Amount { return bed.USD(int64(1 + h.n(most))) }

// may does a deed; a refusal is an answer as well, any other failure is not.
func (h *history) may(deed string, err error) bool {
	h.Helper()
	if err == nil {
		h.did[deed]++
		return true
	}
	if fault.CodeOf(err) == fault.Internal {
		h.Fatalf("%s: %s", deed, bed.Deep(err))
	}
	return false
}

// live takes an order, and lets up to twelve things happen to it and around it.
func (h *history) live() {
	day := h.Clock.Now().AddDate(0, 0, h.n(3))
	h.Clock.Set(day.Year(), day.Month(), day.Day())
	in := h.Sale()
	in.Outlet = []int64{h.Own.ID, h.Market.ID}[h.n(2)]
	in.Lines = nil
	for range 1 + h.n(3) {
		l := book.SaleLine{Edition: h.eds[h.n(2)].ID}
		if h.n(3) == 0 {
			p := h.cents(20_000)
			l.Price = &p
		}
		in.Lines = append(in.Lines, l)
	}
	in.Postage, in.Tax = bed.USD(int64(h.n(900))), bed.USD(int64(h.n(3)*h.n(500)))
	if h.n(2) == 0 {
		in.Paid = h.cents(9_000)
	}
	in.InPerson = h.n(6) == 0
	v, err := book.TakeOrder(h.Ctx, h.Studio, in)
	if !h.may("sale", err) {
		return
	}
	for range 4 + h.n(9) {
		h.happen(v.ID)
		if h.late.IntN(4) == 0 {
			h.writes(v.ID)
		}
	}
	h.end(v.ID)
}

func (h *history) happen(id int64) {
	v, err := book.Order(h.Ctx, h.Studio, id)
	h.Must(err)
	switch h.n(19) {
	case 0, 1, 2:
		if v.Owed.Sign() > 0 {
			h.may("pay", book.Pay(h.Ctx, h.Studio, book.PaymentIn{Order: id, Amount: v.Owed}))
		}
	case 3:
		h.may("pay a part", book.Pay(h.Ctx, h.Studio, book.PaymentIn{Order: id, Amount: h.cents(5_000)}))
	case 4:
		h.may("refund", book.Pay(h.Ctx, h.Studio, book.PaymentIn{Order: id, Kind: order.Refund, Amount: h.cents(4_000)}))
	case 5, 6, 7, 8:
		h.forward(v)
	case 9:
		h.may("take back", book.TakeBack(h.Ctx, h.Studio, book.TakeBackIn{Order: id, Spoilt: h.n(2) == 0, Reason: "x", Refund: bed.USD(int64(h.n(3) * h.n(3_000)))}))
	case 10:
		if live := bed.LineIDs(v); len(live) > 0 {
			h.may("take one back", book.TakeBack(h.Ctx, h.Studio, book.TakeBackIn{Order: id, Lines: live[:1], Spoilt: h.n(2) == 0, Reason: "x"}))
		}
	case 11:
		h.may("cancel", book.Cancel(h.Ctx, h.Studio, book.CancelIn{Order: id, Reason: "x", Refund: bed.USD(int64(h.n(2) * h.n(3_000)))}))
	case 12:
		if live := bed.LineIDs(v); len(live) > 0 {
			h.may("drop", book.DropLine(h.Ctx, h.Studio, live[h.n(len(live))], "x"))
		}
	case 13:
		fee, postage, tax := h.cents(2_000), h.cents(1_500), h.cents(900)
		_, err := book.Amend(h.Ctx, h.Studio, book.AmendIn{Order: id, Fee: &fee, Postage: &postage, Tax: &tax})
		h.may("amend", err)
	case 14, 15:
		if marks, err := dispatch.RecentMarks(h.Ctx, h.Studio); err == nil && len(marks) > 0 {
			h.may("undo", dispatch.Undo(h.Ctx, h.Studio, marks[h.n(min(len(marks), 4))].ID))
		}
	case 16:
		h.run()
	case 17:
		h.shelf()
	default:
		h.may("spoil", register.Spoil(h.Ctx, h.Studio, register.SpoilIn{Edition: h.eds[0].ID, Number: bed.Num(1 + h.n(40)), Reason: "x", SheetLost: h.n(2) == 0}))
	}
}

// forward does all that is next for an order.
func (h *history) forward(v studio.OrderView) {
	switch v.Stage {
	case order.AwaitsMoney:
		if v.Owed.Sign() > 0 && h.n(3) > 0 {
			h.may("pay", book.Pay(h.Ctx, h.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		}
	case order.AwaitsSigning:
		h.may("sign", register.Sign(h.Ctx, h.Studio, bed.LineIDs(v)))
	case order.AwaitsPacking:
		_, err := dispatch.Pack(h.Ctx, h.Studio, dispatch.PackIn{Order: v.ID})
		h.may("pack", err)
	case order.AwaitsLabel:
		for _, p := range v.Parcels {
			if p.State == studio.Packed {
				h.may("label", labelling.Label(h.Ctx, h.Studio, labelling.LabelIn{Parcel: p.ID, Paid: h.cents(2_500)}))
			}
		}
	case order.AwaitsHandOver:
		if v.InPerson {
			h.may("hand over", dispatch.HandIn(h.Ctx, h.Studio, dispatch.HandInIn{Order: v.ID}))
			return
		}
		_, err := dispatch.HandOver(h.Ctx, h.Studio, dispatch.HandOverIn{})
		h.may("hand over", err)
	}
	if now := h.Order(v.ID); now.Stage != v.Stage && now.State == order.Open && h.n(4) > 0 {
		h.forward(now)
	}
}

func (h *history) run() {
	if h.runs == 0 || h.n(2) == 0 {
		r, err := stockroom.OrderRun(h.Ctx, h.Studio, supply.Run{Edition: h.eds[h.n(2)].ID, Lab: "Saltmarsh", Quantity: 2 + h.n(20), UnitCost: h.cents(3_000)})
		if h.may("order a run", err) {
			h.runs = r.ID
		}
		return
	}
	h.may("receive", stockroom.Receive(h.Ctx, h.Studio, supply.Receipt{Run: h.runs, Good: h.n(5), Rejected: h.n(3)}))
}

func (h *history) shelf() {
	items, err := stockroom.Shelf(h.Ctx, h.Studio)
	h.Must(err)
	it := items[h.n(len(items))]
	if h.n(3) == 0 {
		h.may("count", stockroom.CountShelf(h.Ctx, h.Studio, it.ID, h.n(90), "x"))
		return
	}
	cost := h.cents(400)
	h.may("restock", stockroom.Restock(h.Ctx, h.Studio, it.ID, 1+h.n(30), &cost))
}

// TestUndoLeavesNoDifference takes steps of an order back, and finds every balance as it was before them.
func TestUndoLeavesNoDifference(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Heron.ID, b.Card.ID)
	b.Must(stockroom.Restock(b.Ctx, b.Studio, 1, 7, nil))
	steps := map[studio.MarkKind]func(){
		studio.MarkPaid: func() {
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(1_00)}))
		},
		studio.MarkSigned: func() { b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v))) },
		studio.MarkRestocked: func() {
			b.Must(stockroom.Restock(b.Ctx, b.Studio, 2, 5, bed.Ptr(bed.USD(77))))
		},
		studio.MarkHandedOver: func() {
			_, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
			b.Must(err)
			for _, p := range b.Order(v.ID).Parcels {
				b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(7_77)}))
			}
			before := ours(t, b.Studio)
			_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
			b.Must(err)
			if after := ours(t, b.Studio); maps.Equal(before, after) {
				t.Error("a hand-over entered nothing: nothing was tested")
			}
			b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkHandedOver).ID))
			if after := ours(t, b.Studio); !maps.Equal(before, after) {
				t.Errorf("after undoing the hand-over: %v, before %v", after, before)
			}
			for range b.Order(v.ID).Parcels {
				b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkLabelled).ID))
			}
		},
	}
	for _, kind := range []studio.MarkKind{studio.MarkPaid, studio.MarkRestocked, studio.MarkSigned, studio.MarkHandedOver} {
		before := ours(t, b.Studio)
		steps[kind]()
		if kind != studio.MarkHandedOver && kind != studio.MarkSigned {
			b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(kind).ID))
		}
		if after := ours(t, b.Studio); !maps.Equal(before, after) {
			t.Errorf("after undoing %s: %v, before %v", kind, after, before)
		}
	}
	b.Sound()
	rebalanced(t, b.Studio, 5)
}
