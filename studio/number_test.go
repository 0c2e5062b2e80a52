package studio_test

import (
	"testing"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

func num(n int) edition.Number { return edition.Number{Kind: edition.Numbered, N: n} }

func TestSign(t *testing.T) {
	b := newBed(t)
	unpaid := b.take(b.sale())
	b.refused(b.Sign(b.ctx, lineIDs(unpaid)), fault.Refused, "lines", "nothing was paid")
	b.refused(b.Sign(b.ctx, nil), fault.Invalid, "lines", "")
	b.refused(b.Sign(b.ctx, []int64{99}), fault.Missing, "", "")

	noSheet := b.paid(b.reeds.ID)
	if noSheet.Stage != order.AwaitsSheet || noSheet.Views[0].WaitsFor != calendar.Date(2026, 3, 4) {
		t.Errorf("stage %s, waits since %s", noSheet.Stage, noSheet.Views[0].WaitsFor)
	}
	b.refused(b.Sign(b.ctx, lineIDs(noSheet)), fault.Refused, "lines", "count the drawer")

	v := b.paid(b.heron.ID, b.card.ID)
	ids := lineIDs(v)
	b.refused(b.Sign(b.ctx, []int64{ids[0], ids[0]}), fault.Invalid, "lines", "twice")
	b.must(b.Sign(b.ctx, ids))
	b.refused(b.Sign(b.ctx, ids[:1]), fault.Refused, "lines", "signed already")
	v = b.order(v.ID)
	if v.Stage != order.AwaitsPacking || !v.Lines[0].Signed || !v.Lines[1].Signed || v.Lines[0].SignedDay != calendar.Date(2026, 3, 4) {
		t.Errorf("stage %s, lines %+v", v.Stage, v.Lines)
	}
	b.must(b.Undo(b.ctx, b.latest(studio.MarkSigned).ID))
	v = b.order(v.ID)
	if v.Stage != order.AwaitsSigning || v.Lines[0].Signed || v.Lines[1].Signed {
		t.Errorf("after undoing: stage %s, lines %+v", v.Stage, v.Lines)
	}
	// Undoing is a counter entry: nothing is removed from the register.
	n, err := b.Number(b.ctx, b.heron.ID, v.Lines[0].Number)
	b.must(err)
	if len(n.History) != 3 || n.History[2].Step != edition.Correct || n.History[2].Undoes != 2 || n.History[1].Step != edition.Sign {
		t.Errorf("history %+v", n.History)
	}
	if n.Row.OrderMark != v.Mark || n.Row.Buyer != "Ada Quill" {
		t.Errorf("held by %s of %s", n.Row.OrderMark, n.Row.Buyer)
	}
	b.must(b.Sign(b.ctx, ids))
	b.sound()
}

func TestSheetsGoToTheEarliestPromise(t *testing.T) {
	b := newBed(t)
	b.must(b.CountSheets(b.ctx, b.heron.ID, 1, "counted"))
	late := b.paid(b.heron.ID)
	in := b.sale()
	in.Promised = calendar.Date(2026, 3, 4)
	in.Paid = usd(95_00)
	early := b.take(in)
	b.refused(b.Sign(b.ctx, lineIDs(late)), fault.Refused, "lines", "no sheet")
	b.must(b.Sign(b.ctx, lineIDs(early)))
	// The one sheet is signed now: the drawer cannot be counted to nothing.
	b.refused(b.CountSheets(b.ctx, b.heron.ID, 0, "lost"), fault.Refused, "counted", "1 signed")
	b.refused(b.CountSheets(b.ctx, b.heron.ID, -1, "lost"), fault.Invalid, "counted", "")
	b.refused(b.CountSheets(b.ctx, b.heron.ID, 2, ""), fault.Invalid, "reason", "")
	b.sound()
}

func TestSignAheadKeepWithdrawRelease(t *testing.T) {
	b := newBed(t)
	b.paid(b.heron.ID) // number 1 has one of the four sheets
	b.refused(b.SignAhead(b.ctx, b.heron.ID, []edition.Number{num(1)}), fault.Refused, "", "order holds it")
	b.refused(b.SignAhead(b.ctx, b.heron.ID, []edition.Number{num(6)}), fault.Invalid, "number", "")
	b.refused(b.SignAhead(b.ctx, b.heron.ID, []edition.Number{num(2), num(3), num(4), num(5)}), fault.Refused, "numbers", "3 unsigned")
	b.must(b.SignAhead(b.ctx, b.heron.ID, []edition.Number{num(2), num(3)}))
	b.must(b.Keep(b.ctx, b.heron.ID, num(2), "for the archive"))
	if n := b.sheetsOf(b.heron.ID); n != 3 {
		t.Errorf("%d sheets in the drawer, want 3: the archive is not the drawer", n)
	}
	b.refused(b.Undo(b.ctx, b.latest(studio.MarkSigned).ID), fault.Refused, "", "since")
	b.refused(b.Keep(b.ctx, b.heron.ID, num(1), ""), fault.Refused, "", "cannot take the step")
	b.refused(b.Release(b.ctx, b.heron.ID, num(1), ""), fault.Refused, "", "order holds it")
	b.refused(b.Release(b.ctx, b.heron.ID, num(3), ""), fault.Refused, "", "archive")
	b.must(b.Release(b.ctx, b.heron.ID, num(2), "sold after all"))
	if n := b.sheetsOf(b.heron.ID); n != 4 {
		t.Errorf("%d sheets in the drawer, want 4", n)
	}
	b.refused(b.Withdraw(b.ctx, b.heron.ID, num(2), ""), fault.Invalid, "reason", "")
	b.must(b.Withdraw(b.ctx, b.heron.ID, num(2), "a fault in the plate"))
	in := b.sale()
	in.Lines[0].Number = "2"
	_, err := b.TakeOrder(b.ctx, in)
	b.refused(err, fault.Refused, "lines[0].number", "withdrawn")
	b.sound()
}

func TestSpoilAndRestrike(t *testing.T) {
	b := newBed(t)
	v := b.paid(b.heron.ID)
	b.must(b.Sign(b.ctx, lineIDs(v)))
	spoil := studio.SpoilIn{Edition: b.heron.ID, Number: num(1)}
	b.refused(b.Spoil(b.ctx, spoil), fault.Invalid, "reason", "")
	none := studio.SpoilIn{Edition: b.reeds.ID, Number: edition.Number{Kind: edition.Numbered, N: 1}, Reason: "torn", SheetLost: true}
	b.refused(b.Spoil(b.ctx, none), fault.Refused, "sheet_lost", "no unsigned sheet")
	spoil.Reason = "ink on the margin"
	b.must(b.Spoil(b.ctx, spoil))
	if n := b.sheetsOf(b.heron.ID); n != 3 {
		t.Errorf("%d sheets, want 3: the signed sheet is gone", n)
	}
	if v = b.order(v.ID); v.Stage != order.AwaitsSigning || v.MayLeave() == nil {
		t.Errorf("stage %s: an order whose print is spoilt may not leave", v.Stage)
	}
	b.refused(b.Sign(b.ctx, lineIDs(v)), fault.Refused, "", "strike a spoilt number again")
	b.must(b.Restrike(b.ctx, b.heron.ID, num(1), "new sheet"))
	b.must(b.Sign(b.ctx, lineIDs(v)))
	b.must(b.Spoil(b.ctx, spoil))
	b.refused(b.Restrike(b.ctx, b.heron.ID, num(1), "once more"), fault.Refused, "", "once")
	b.must(b.Renumber(b.ctx, v.Lines[0].ID, ""))
	if v = b.order(v.ID); v.Views[0].Label != "2/5" || b.state(b.heron.ID, 1).State != edition.Spoilt {
		t.Errorf("the order has %s, number 1 is %s", v.Views[0].Label, b.state(b.heron.ID, 1).State)
	}
	b.refused(b.Restrike(b.ctx, b.heron.ID, num(3), "why"), fault.Refused, "", "")
	b.sound()
}

func TestRunIsReceivedInParts(t *testing.T) {
	b := newBed(t)
	v := b.paid(b.reeds.ID)
	run, err := b.OrderRun(b.ctx, supply.Run{Edition: b.reeds.ID, Lab: "Hill lab", Expected: calendar.Date(2026, 3, 10), Quantity: 5, UnitCost: usd(8_00)})
	b.must(err)
	v = b.order(v.ID)
	if c := v.Views[0].Coming; c == nil || c.Run != run.ID || c.Since != calendar.Date(2026, 3, 4) {
		t.Errorf("waits for %+v", c)
	}
	b.refused(b.Receive(b.ctx, supply.Receipt{Run: run.ID, Good: 6}), fault.Invalid, "good", "only 5")
	b.refused(b.Receive(b.ctx, supply.Receipt{Run: run.ID, Good: -1}), fault.Invalid, "good", "")
	b.refused(b.Receive(b.ctx, supply.Receipt{Run: run.ID, Good: 1, Day: calendar.Date(2026, 3, 3)}), fault.Invalid, "day", "")
	b.refused(b.Receive(b.ctx, supply.Receipt{Run: 99, Good: 1}), fault.Missing, "run", "")
	b.must(b.Receive(b.ctx, supply.Receipt{Run: run.ID, Good: 2, Rejected: 1}))
	if v = b.order(v.ID); v.Stage != order.AwaitsSigning || b.sheetsOf(b.reeds.ID) != 2 {
		t.Errorf("stage %s, %d sheets", v.Stage, b.sheetsOf(b.reeds.ID))
	}
	b.must(b.Receive(b.ctx, supply.Receipt{Run: run.ID, Good: 2}))
	if runs, err := b.Runs(b.ctx, true); err != nil || len(runs) != 0 {
		t.Errorf("%d runs are open after all came in (%v)", len(runs), err)
	}
	b.must(b.Undo(b.ctx, b.latest(studio.MarkReceived).ID))
	runs, err := b.Runs(b.ctx, true)
	b.must(err)
	if len(runs) != 1 || runs[0].Outstanding() != 2 || runs[0].Good() != 2 || b.sheetsOf(b.reeds.ID) != 2 {
		t.Errorf("after undoing: %+v, %d sheets", runs, b.sheetsOf(b.reeds.ID))
	}
	b.must(b.Sign(b.ctx, lineIDs(v)))
	b.refused(b.Undo(b.ctx, b.latest(studio.MarkReceived).ID), fault.Refused, "", "signed or sent since")
	b.clock.set(2026, 3, 12)
	if runs, _ = b.Runs(b.ctx, true); runs[0].Late != 2 {
		t.Errorf("late by %d working days, want 2", runs[0].Late)
	}
	b.must(b.CloseRun(b.ctx, run.ID))
	b.refused(b.CloseRun(b.ctx, run.ID), fault.Refused, "", "closed already")
	b.refused(b.Receive(b.ctx, supply.Receipt{Run: run.ID, Good: 1}), fault.Refused, "", "closed")
	b.sound()
}

func TestRunThatIsWrong(t *testing.T) {
	b := newBed(t)
	good := supply.Run{Edition: b.heron.ID, Lab: "Hill lab", Quantity: 5}
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
		_, err := b.OrderRun(b.ctx, r)
		b.refused(err, fault.Invalid, field, "")
	}
}

func TestEditionIsDeclaredOnce(t *testing.T) {
	b := newBed(t)
	again := heron()
	again.Work, again.Limit = b.heron.Work, 50
	_, err := b.Declare(b.ctx, again)
	b.refused(err, fault.Taken, "", "declared already, limit 5")
	for field, change := range map[string]func(*edition.Edition){
		"work":    func(e *edition.Edition) { e.Work = 0 },
		"width":   func(e *edition.Edition) { e.Width = measure.Millimetre },
		"limit":   func(e *edition.Edition) { e.Limit = -1 },
		"price":   func(e *edition.Edition) { e.Price, e.Steps = money.Of(1, "EUR"), nil },
		"caliper": func(e *edition.Edition) { e.Caliper = 0 },
	} {
		e := heron()
		e.Work, e.Paper = b.heron.Work, "another paper"
		change(&e)
		_, err := b.Declare(b.ctx, e)
		b.refused(err, fault.Invalid, field, "")
	}
	b.must(b.Reprice(b.ctx, b.heron.ID, whole(studio.Prices{Price: usd(95_00), PrintCost: usd(9_50)})))
	v, err := b.Edition(b.ctx, b.heron.ID)
	b.must(err)
	if v.PriceNow != usd(95_00) || len(v.Numbers) != 8 || v.OnHand != 4 {
		t.Errorf("price %s, %d numbers, %d sheets", v.PriceNow, len(v.Numbers), v.OnHand)
	}
	b.refused(b.Reprice(b.ctx, b.heron.ID, whole(studio.Prices{Price: usd(-1), PrintCost: usd(0)})), fault.Invalid, "price", "")
}
