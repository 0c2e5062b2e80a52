package studio_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/labelling"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// week is a studio at which things happen in any order. Every use case may be refused; none may fail
// otherwise, and whatever happens the studio must be sound.
type week struct {
	*bed.Bed
	*rapid.T
	eds    []edition.Edition
	orders []int64
	lines  []int64
	day    int
}

// allowed accepts success and every fault but our own failures.
func (w *week) allowed(what string, err error) bool {
	w.Bed.Helper()
	if fault.Is(err, fault.Internal) || fault.Is(err, fault.Busy) {
		w.T.Fatalf("%s: %s", what, bed.Deep(err))
	}
	return err == nil
}

func (w *week) some(label string, ids []int64) int64 {
	if len(ids) == 0 {
		return 1
	}
	return rapid.SampledFrom(ids).Draw(w.T, label)
}

func (w *week) ed() edition.Edition { return rapid.SampledFrom(w.eds).Draw(w.T, "edition") }

func (w *week) number(e edition.Edition) edition.Number {
	return edition.Number{Kind: rapid.SampledFrom([]edition.Kind{edition.Numbered, edition.Numbered, edition.AP}).Draw(w.T, "kind"), N: rapid.IntRange(1, e.Limit+1).Draw(w.T, "n")}
}

func (w *week) pick() studio.OrderView {
	v, err := book.Order(w.Ctx, w.Studio, w.some("order", w.orders))
	if err != nil {
		return studio.OrderView{}
	}
	return v
}

func (w *week) takeSale(*rapid.T) {
	in := w.Sale()
	in.Outlet = rapid.SampledFrom([]int64{w.Own.ID, w.Market.ID}).Draw(w.T, "outlet")
	in.Ref = rapid.SampledFrom([]string{"", "", "R-1", "R-2"}).Draw(w.T, "ref")
	in.SameNumber = rapid.IntRange(0, 5).Draw(w.T, "same") == 0
	in.Lines = nil
	for range rapid.IntRange(1, 3).Draw(w.T, "prints") {
		l := book.SaleLine{Edition: w.ed().ID}
		if rapid.IntRange(0, 3).Draw(w.T, "ask") == 0 {
			l.Number = rapid.SampledFrom([]string{"1", "2", "3", "AP", "AP 1", "9"}).Draw(w.T, "wanted")
		}
		in.Lines = append(in.Lines, l)
	}
	in.Paid = bed.USD(rapid.SampledFrom([]int64{0, 0, 10_00, 95_00}).Draw(w.T, "paid"))
	v, err := book.TakeOrder(w.Ctx, w.Studio, in)
	if w.allowed("take", err) {
		w.orders = append(w.orders, v.ID)
		w.lines = append(w.lines, bed.LineIDs(v)...)
	}
}

func (w *week) pay(*rapid.T) {
	v := w.pick()
	a := v.Owed
	kind := rapid.SampledFrom([]order.PaymentKind{"", "", "", order.Refund}).Draw(w.T, "kind")
	if kind == order.Refund || rapid.IntRange(0, 3).Draw(w.T, "part") == 0 {
		a = bed.USD(rapid.Int64Range(1, 60_00).Draw(w.T, "amount"))
	}
	w.allowed("pay", book.Pay(w.Ctx, w.Studio, book.PaymentIn{Order: v.ID, Kind: kind, Amount: a}))
}

func (w *week) sign(*rapid.T) {
	w.allowed("sign", register.Sign(w.Ctx, w.Studio, []int64{w.some("line", w.lines)}))
}

func (w *week) pack(*rapid.T) {
	v := w.pick()
	_, err := dispatch.Pack(w.Ctx, w.Studio, dispatch.PackIn{Order: v.ID})
	w.allowed("pack", err)
}

func (w *week) label(*rapid.T) {
	for _, p := range w.pick().Parcels {
		w.allowed("label", labelling.Label(w.Ctx, w.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_00)}))
	}
}

func (w *week) handOver(*rapid.T) {
	_, err := dispatch.HandOver(w.Ctx, w.Studio, dispatch.HandOverIn{})
	w.allowed("hand over", err)
}

func (w *week) cancel(*rapid.T) {
	v := w.pick()
	refund := money.Of(0, "USD")
	if v.Paid.Sign() > 0 && rapid.Bool().Draw(w.T, "refund") {
		refund = v.Paid
	}
	w.allowed("cancel", book.Cancel(w.Ctx, w.Studio, book.CancelIn{Order: v.ID, Reason: "a test", Refund: refund}))
}

func (w *week) takeBack(*rapid.T) {
	in := book.TakeBackIn{Order: w.pick().ID, Reason: "a test", Spoilt: rapid.Bool().Draw(w.T, "spoilt")}
	w.allowed("take back", book.TakeBack(w.Ctx, w.Studio, in))
}

func (w *week) change(*rapid.T) {
	line := w.some("line", w.lines)
	switch rapid.IntRange(0, 3).Draw(w.T, "change") {
	case 0:
		w.allowed("renumber", book.Renumber(w.Ctx, w.Studio, line, rapid.SampledFrom([]string{"", "2", "AP 1"}).Draw(w.T, "wanted")))
	case 1:
		w.allowed("drop", book.DropLine(w.Ctx, w.Studio, line, "a test"))
	case 2:
		w.allowed("override", book.Override(w.Ctx, w.Studio, w.pick().ID, "a test"))
	case 3:
		w.allowed("lift", book.LiftOverride(w.Ctx, w.Studio, w.pick().ID))
	}
}

func (w *week) numbers(*rapid.T) {
	e := w.ed()
	n := w.number(e)
	switch rapid.IntRange(0, 5).Draw(w.T, "step") {
	case 0:
		w.allowed("spoil", register.Spoil(w.Ctx, w.Studio, register.SpoilIn{Edition: e.ID, Number: n, Reason: "a test", SheetLost: rapid.Bool().Draw(w.T, "lost")}))
	case 1:
		w.allowed("restrike", register.Restrike(w.Ctx, w.Studio, e.ID, n, "a test"))
	case 2:
		w.allowed("keep", register.Keep(w.Ctx, w.Studio, e.ID, n, ""))
	case 3:
		w.allowed("withdraw", register.Withdraw(w.Ctx, w.Studio, e.ID, n, "a test"))
	case 4:
		w.allowed("release", register.Release(w.Ctx, w.Studio, e.ID, n, ""))
	case 5:
		w.allowed("sign ahead", register.SignAhead(w.Ctx, w.Studio, e.ID, []edition.Number{n}))
	}
}

func (w *week) stock(*rapid.T) {
	e := w.ed()
	switch rapid.IntRange(0, 3).Draw(w.T, "stock") {
	case 0:
		w.allowed("count", stockroom.CountSheets(w.Ctx, w.Studio, e.ID, rapid.IntRange(0, 6).Draw(w.T, "counted"), "a test"))
	case 1:
		_, err := stockroom.OrderRun(w.Ctx, w.Studio, supply.Run{Edition: e.ID, Lab: "Hill lab", Quantity: 2})
		w.allowed("order run", err)
	case 2:
		w.allowed("receive", stockroom.Receive(w.Ctx, w.Studio, supply.Receipt{Run: rapid.Int64Range(1, 4).Draw(w.T, "run"), Good: 1, Rejected: rapid.IntRange(0, 1).Draw(w.T, "rejected")}))
	case 3:
		w.allowed("count shelf", stockroom.CountShelf(w.Ctx, w.Studio, rapid.Int64Range(1, 20).Draw(w.T, "item"), rapid.IntRange(0, 9).Draw(w.T, "counted"), "a test"))
	}
}

func (w *week) undo(*rapid.T) {
	marks, err := dispatch.RecentMarks(w.Ctx, w.Studio)
	if !w.allowed("marks", err) || len(marks) == 0 {
		return
	}
	w.allowed("undo", dispatch.Undo(w.Ctx, w.Studio, rapid.SampledFrom(marks).Draw(w.T, "mark").ID))
}

func (w *week) nextDay(*rapid.T) {
	w.day++
	w.Clock.Set(2026, 3, 4+w.day)
}

// holds is the invariant: check finds nothing, no number is held twice, what is owed follows from lines
// and payments, no stock is below nothing, and the bench can be made.
func (w *week) holds(*rapid.T) {
	found, err := house.Check(w.Ctx, w.Studio)
	w.allowed("check", err)
	for _, f := range found {
		w.T.Errorf("check: %s: %s", f.Where, f.What)
	}
	held := map[string]string{}
	for _, id := range w.orders {
		v, err := book.Order(w.Ctx, w.Studio, id)
		w.allowed("order", err)
		w.money(v)
		for _, l := range v.Live() {
			key := fmt.Sprint(l.Edition, l.Number)
			if other, twice := held[key]; twice && !l.Number.IsZero() {
				w.T.Errorf("%s and %s both have %s", other, v.Mark, key)
			}
			held[key] = v.Mark
		}
	}
	rows, err := stockroom.Drawer(w.Ctx, w.Studio)
	w.allowed("drawer", err)
	for _, r := range rows {
		if r.OnHand < 0 || r.Claimed > r.OnHand {
			w.T.Errorf("%d sheets of %s, %d claimed", r.OnHand, r.Title, r.Claimed)
		}
	}
	w.sending()
	_, err = daybench.List(w.Ctx, w.Studio, calendar.Day{})
	w.allowed("bench", err)
}

// sending adds up by hand what all parcels cost: what the orders bear of them is neither more nor less.
func (w *week) sending() {
	parcels, want, got := map[int64]bool{}, int64(0), int64(0)
	for _, id := range w.orders {
		v, err := book.Order(w.Ctx, w.Studio, id)
		w.allowed("order", err)
		got += v.Sending.Packaging.Minor + v.Sending.Work.Minor + v.Sending.Postage.Minor
		for _, p := range v.Parcels {
			if parcels[p.ID] {
				continue
			}
			parcels[p.ID] = true
			want += p.Plan.Cost
			if p.State != studio.Packed {
				want += p.Paid.Minor - p.Estimated.Minor
			}
		}
	}
	if got != want {
		w.T.Errorf("the orders bear %d of parcels that cost %d", got, want)
	}
}

// together lets orders share parcels, or not; every order here is of one buyer to one address.
func (w *week) together(*rapid.T) {
	set, err := w.Settings(w.Ctx)
	w.allowed("settings", err)
	set.Combine = rapid.IntRange(0, 3).Draw(w.T, "combine") > 0
	w.allowed("save settings", house.ChangeSettings(w.Ctx, w.Studio, studio.Whole(set)))
}

// money adds up an order by hand.
func (w *week) money(v studio.OrderView) {
	var due, paid int64
	if v.State == order.Open || v.State == order.Closed {
		due = v.Postage.Minor
		if !v.TaxByOutlet {
			due += v.Tax.Minor
		}
		for _, l := range v.Lines {
			if !l.Dropped {
				due += l.Price.Minor
			}
		}
	}
	for _, p := range v.Payments {
		switch {
		case p.Reversed:
		case p.Kind == order.Refund:
			paid -= p.Amount.Minor
		default:
			paid += p.Amount.Minor
		}
	}
	if v.Owed.Minor != due-paid || paid < 0 {
		w.T.Errorf("%s: owed %s, by hand %d − %d", v.Mark, v.Owed, due, paid)
	}
}

func TestAnyOrderOfUseCasesKeepsTheStudioSound(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := bed.New(t)
		w := &week{Bed: b, T: rt, eds: []edition.Edition{b.Heron, b.Reeds, b.Card}}
		rt.Repeat(map[string]func(*rapid.T){
			"take": w.takeSale, "take more": w.takeSale, "pay": w.pay, "pay more": w.pay, "sign": w.sign, "sign more": w.sign,
			"pack": w.pack, "pack more": w.pack, "label": w.label, "hand over": w.handOver, "cancel": w.cancel, "take back": w.takeBack,
			"change": w.change, "numbers": w.numbers, "stock": w.stock, "undo": w.undo, "undo more": w.undo, "next day": w.nextDay, "together": w.together,
			"": w.holds,
		})
	})
}

func TestMain(m *testing.M) { bed.Properties(m) }
