package register_test

import (
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

func TestSign(t *testing.T) {
	b := bed.New(t)
	unpaid := b.Take(b.Sale())
	b.Refused(register.Sign(b.Ctx, b.Studio, bed.LineIDs(unpaid)), fault.Refused, "lines", "nothing was paid")
	b.Refused(register.Sign(b.Ctx, b.Studio, nil), fault.Invalid, "lines", "")
	b.Refused(register.Sign(b.Ctx, b.Studio, []int64{99}), fault.Missing, "", "")

	noSheet := b.Paid(b.Reeds.ID)
	if noSheet.Stage != order.AwaitsSheet || noSheet.Views[0].WaitsFor != calendar.Date(2026, 3, 4) {
		t.Errorf("stage %s, waits since %s", noSheet.Stage, noSheet.Views[0].WaitsFor)
	}
	b.Refused(register.Sign(b.Ctx, b.Studio, bed.LineIDs(noSheet)), fault.Refused, "lines", "count the drawer")

	v := b.Paid(b.Heron.ID, b.Card.ID)
	ids := bed.LineIDs(v)
	b.Refused(register.Sign(b.Ctx, b.Studio, []int64{ids[0], ids[0]}), fault.Invalid, "lines", "twice")
	b.Must(register.Sign(b.Ctx, b.Studio, ids))
	b.Refused(register.Sign(b.Ctx, b.Studio, ids[:1]), fault.Refused, "lines", "signed already")
	v = b.Order(v.ID)
	if v.Stage != order.AwaitsPacking || !v.Lines[0].Signed || !v.Lines[1].Signed || v.Lines[0].SignedDay != calendar.Date(2026, 3, 4) {
		t.Errorf("stage %s, lines %+v", v.Stage, v.Lines)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkSigned).ID))
	v = b.Order(v.ID)
	if v.Stage != order.AwaitsSigning || v.Lines[0].Signed || v.Lines[1].Signed {
		t.Errorf("after undoing: stage %s, lines %+v", v.Stage, v.Lines)
	}
	// Undoing is a counter entry: nothing is removed from the register.
	n, err := register.Number(b.Ctx, b.Studio, b.Heron.ID, v.Lines[0].Number)
	b.Must(err)
	if len(n.History) != 3 || n.History[2].Step != edition.Correct || n.History[2].Undoes != 2 || n.History[1].Step != edition.Sign {
		t.Errorf("history %+v", n.History)
	}
	if n.Row.OrderMark != v.Mark || n.Row.Buyer != "Ada Quill" {
		t.Errorf("held by %s of %s", n.Row.OrderMark, n.Row.Buyer)
	}
	b.Must(register.Sign(b.Ctx, b.Studio, ids))
	b.Sound()
}

func TestSheetsGoToTheEarliestPromise(t *testing.T) {
	b := bed.New(t)
	b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Heron.ID, 1, "counted"))
	late := b.Paid(b.Heron.ID)
	in := b.Sale()
	in.Promised = calendar.Date(2026, 3, 4)
	in.Paid = bed.USD(95_00)
	early := b.Take(in)
	b.Refused(register.Sign(b.Ctx, b.Studio, bed.LineIDs(late)), fault.Refused, "lines", "no sheet")
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(early)))
	// The one sheet is signed now: the drawer cannot be counted to nothing.
	b.Refused(stockroom.CountSheets(b.Ctx, b.Studio, b.Heron.ID, 0, "lost"), fault.Refused, "counted", "1 signed")
	b.Refused(stockroom.CountSheets(b.Ctx, b.Studio, b.Heron.ID, -1, "lost"), fault.Invalid, "counted", "")
	b.Refused(stockroom.CountSheets(b.Ctx, b.Studio, b.Heron.ID, 2, ""), fault.Invalid, "reason", "")
	b.Sound()
}

func TestSignAheadKeepWithdrawRelease(t *testing.T) {
	b := bed.New(t)
	b.Paid(b.Heron.ID) // number 1 has one of the four sheets
	b.Refused(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(1)}), fault.Refused, "", "order holds it")
	b.Refused(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(6)}), fault.Invalid, "number", "")
	b.Refused(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(2), bed.Num(3), bed.Num(4), bed.Num(5)}), fault.Refused, "numbers", "3 unsigned")
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(2), bed.Num(3)}))
	b.Must(register.Keep(b.Ctx, b.Studio, b.Heron.ID, bed.Num(2), "for the archive"))
	if n := b.SheetsOf(b.Heron.ID); n != 3 {
		t.Errorf("%d sheets in the drawer, want 3: the archive is not the drawer", n)
	}
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkSigned).ID), fault.Refused, "", "since")
	b.Refused(register.Keep(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1), ""), fault.Refused, "", "cannot take the step")
	b.Refused(register.Release(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1), ""), fault.Refused, "", "order holds it")
	b.Refused(register.Release(b.Ctx, b.Studio, b.Heron.ID, bed.Num(3), ""), fault.Refused, "", "archive")
	b.Must(register.Release(b.Ctx, b.Studio, b.Heron.ID, bed.Num(2), "sold after all"))
	if n := b.SheetsOf(b.Heron.ID); n != 4 {
		t.Errorf("%d sheets in the drawer, want 4", n)
	}
	b.Refused(register.Withdraw(b.Ctx, b.Studio, b.Heron.ID, bed.Num(2), ""), fault.Invalid, "reason", "")
	b.Must(register.Withdraw(b.Ctx, b.Studio, b.Heron.ID, bed.Num(2), "a fault in the plate"))
	in := b.Sale()
	in.Lines[0].Number = "2"
	_, err := book.TakeOrder(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Refused, "lines[0].number", "withdrawn")
	b.Sound()
}

func TestSpoilAndRestrike(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Heron.ID)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	spoil := register.SpoilIn{Edition: b.Heron.ID, Number: bed.Num(1)}
	b.Refused(register.Spoil(b.Ctx, b.Studio, spoil), fault.Invalid, "reason", "")
	none := register.SpoilIn{Edition: b.Reeds.ID, Number: edition.Number{Kind: edition.Numbered, N: 1}, Reason: "torn", SheetLost: true}
	b.Refused(register.Spoil(b.Ctx, b.Studio, none), fault.Refused, "sheet_lost", "no unsigned sheet")
	spoil.Reason = "ink on the margin"
	b.Must(register.Spoil(b.Ctx, b.Studio, spoil))
	if n := b.SheetsOf(b.Heron.ID); n != 3 {
		t.Errorf("%d sheets, want 3: the signed sheet is gone", n)
	}
	if v = b.Order(v.ID); v.Stage != order.AwaitsSigning || v.MayLeave() == nil {
		t.Errorf("stage %s: an order whose print is spoilt may not leave", v.Stage)
	}
	b.Refused(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)), fault.Refused, "", "strike a spoilt number again")
	b.Must(register.Restrike(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1), "new sheet"))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	b.Must(register.Spoil(b.Ctx, b.Studio, spoil))
	b.Refused(register.Restrike(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1), "once more"), fault.Refused, "", "once")
	b.Must(book.Renumber(b.Ctx, b.Studio, v.Lines[0].ID, ""))
	if v = b.Order(v.ID); v.Views[0].Label != "2/5" || b.State(b.Heron.ID, 1).State != edition.Spoilt {
		t.Errorf("the order has %s, number 1 is %s", v.Views[0].Label, b.State(b.Heron.ID, 1).State)
	}
	b.Refused(register.Restrike(b.Ctx, b.Studio, b.Heron.ID, bed.Num(3), "why"), fault.Refused, "", "")
	b.Sound()
}

func TestRunIsReceivedInParts(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Reeds.ID)
	run, err := stockroom.OrderRun(b.Ctx, b.Studio, supply.Run{Edition: b.Reeds.ID, Lab: "Hill lab", Expected: calendar.Date(2026, 3, 10), Quantity: 5, UnitCost: bed.USD(8_00)})
	b.Must(err)
	v = b.Order(v.ID)
	if c := v.Views[0].Coming; c == nil || c.Run != run.ID || c.Since != calendar.Date(2026, 3, 4) {
		t.Errorf("waits for %+v", c)
	}
	b.Refused(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: 6}), fault.Invalid, "good", "only 5")
	b.Refused(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: -1}), fault.Invalid, "good", "")
	b.Refused(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: 1, Day: calendar.Date(2026, 3, 3)}), fault.Invalid, "day", "")
	b.Refused(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: 99, Good: 1}), fault.Missing, "run", "")
	b.Must(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: 2, Rejected: 1}))
	if v = b.Order(v.ID); v.Stage != order.AwaitsSigning || b.SheetsOf(b.Reeds.ID) != 2 {
		t.Errorf("stage %s, %d sheets", v.Stage, b.SheetsOf(b.Reeds.ID))
	}
	b.Must(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: 2}))
	if runs, err := stockroom.Runs(b.Ctx, b.Studio, true); err != nil || len(runs) != 0 {
		t.Errorf("%d runs are open after all came in (%v)", len(runs), err)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkReceived).ID))
	runs, err := stockroom.Runs(b.Ctx, b.Studio, true)
	b.Must(err)
	if len(runs) != 1 || runs[0].Outstanding() != 2 || runs[0].Good() != 2 || b.SheetsOf(b.Reeds.ID) != 2 {
		t.Errorf("after undoing: %+v, %d sheets", runs, b.SheetsOf(b.Reeds.ID))
	}
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkReceived).ID), fault.Refused, "", "signed or sent since")
	b.Clock.Set(2026, 3, 12)
	if runs, _ = stockroom.Runs(b.Ctx, b.Studio, true); runs[0].Late != 2 {
		t.Errorf("late by %d working days, want 2", runs[0].Late)
	}
	b.Must(stockroom.CloseRun(b.Ctx, b.Studio, run.ID))
	b.Refused(stockroom.CloseRun(b.Ctx, b.Studio, run.ID), fault.Refused, "", "closed already")
	b.Refused(stockroom.Receive(b.Ctx, b.Studio, supply.Receipt{Run: run.ID, Good: 1}), fault.Refused, "", "closed")
	b.Sound()
}

func TestRunThatIsWrong(t *testing.T) {
	b := bed.New(t)
	good := supply.Run{Edition: b.Heron.ID, Lab: "Hill lab", Quantity: 5}
	for field, change := range map[string]func(*supply.Run){
		"edition":   func(r *supply.Run) { r.Edition = 0 },
		"lab":       func(r *supply.Run) { r.Lab = "" },
		"quantity":  func(r *supply.Run) { r.Quantity = 0 },
		"expected":  func(r *supply.Run) { r.Expected = calendar.Date(2026, 3, 3) },
		"ordered":   func(r *supply.Run) { r.Ordered = calendar.Date(2026, 3, 5) },
		"unit_cost": func(r *supply.Run) { r.UnitCost = money.Of(5, "EUR") },
	} {
		r := good
		change(&r)
		_, err := stockroom.OrderRun(b.Ctx, b.Studio, r)
		b.Refused(err, fault.Invalid, field, "")
	}
}

func TestEditionIsDeclaredOnce(t *testing.T) {
	b := bed.New(t)
	again := bed.Heron()
	again.Work, again.Limit = b.Heron.Work, 50
	_, err := register.Declare(b.Ctx, b.Studio, again)
	b.Refused(err, fault.Taken, "", "declared already, limit 5")
	for field, change := range map[string]func(*edition.Edition){
		"work":    func(e *edition.Edition) { e.Work = 0 },
		"width":   func(e *edition.Edition) { e.Width = measure.Millimetre },
		"limit":   func(e *edition.Edition) { e.Limit = -1 },
		"price":   func(e *edition.Edition) { e.Price, e.Steps = money.Of(1, "EUR"), nil },
		"caliper": func(e *edition.Edition) { e.Caliper = 0 },
	} {
		e := bed.Heron()
		e.Work, e.Paper = b.Heron.Work, "another paper"
		change(&e)
		_, err := register.Declare(b.Ctx, b.Studio, e)
		b.Refused(err, fault.Invalid, field, "")
	}
	b.Must(register.Reprice(b.Ctx, b.Studio, b.Heron.ID, studio.Whole(register.Prices{Price: bed.USD(95_00), PrintCost: bed.USD(9_50)})))
	v, err := register.Edition(b.Ctx, b.Studio, b.Heron.ID)
	b.Must(err)
	if v.PriceNow != bed.USD(95_00) || len(v.Numbers) != 8 || v.OnHand != 4 {
		t.Errorf("price %s, %d numbers, %d sheets", v.PriceNow, len(v.Numbers), v.OnHand)
	}
	b.Refused(register.Reprice(b.Ctx, b.Studio, b.Heron.ID, studio.Whole(register.Prices{Price: bed.USD(-1), PrintCost: bed.USD(0)})), fault.Invalid, "price", "")
}
