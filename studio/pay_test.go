package studio_test

import (
	"testing"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

func TestPayThatIsWrong(t *testing.T) {
	b := newBed(t)
	v := b.take(b.sale()) // 95.00
	for _, c := range []struct {
		name  string
		in    studio.PaymentIn
		code  fault.Code
		field string
		says  string
	}{
		{"nothing", studio.PaymentIn{}, fault.Invalid, "amount", ""},
		{"negative", studio.PaymentIn{Amount: usd(-1)}, fault.Invalid, "amount", ""},
		{"kind", studio.PaymentIn{Amount: usd(1), Kind: "gift"}, fault.Invalid, "kind", ""},
		{"currency", studio.PaymentIn{Amount: money.Of(100, "EUR")}, fault.Invalid, "amount", "EUR"},
		{"tomorrow", studio.PaymentIn{Amount: usd(1), Day: calendar.Date(2026, 3, 5)}, fault.Invalid, "day", "future"},
		{"before the sale", studio.PaymentIn{Amount: usd(1), Day: calendar.Date(2026, 3, 3)}, fault.Invalid, "day", "before the day of the sale"},
		{"too much", studio.PaymentIn{Amount: usd(95_01)}, fault.Refused, "amount", "95.00"},
		{"refund of nothing", studio.PaymentIn{Amount: usd(1), Kind: order.Refund}, fault.Refused, "refund", "0.00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := *b
			b.TB = t
			c.in.Order = v.ID
			b.refused(b.Pay(b.ctx, c.in), c.code, c.field, c.says)
		})
	}
	b.refused(b.Pay(b.ctx, studio.PaymentIn{Order: 99, Amount: usd(1)}), fault.Missing, "", "")
	if v := b.order(v.ID); len(v.Payments) != 0 {
		t.Errorf("%d payments were kept", len(v.Payments))
	}
}

func TestDepositBalanceRefundAndUndo(t *testing.T) {
	b := newBed(t)
	v := b.take(b.sale())
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: usd(40_00)}))
	v = b.order(v.ID)
	if v.Owed != usd(55_00) || v.Payments[0].Kind != order.Deposit || v.Stage != order.AwaitsMoney {
		t.Errorf("owed %s, kind %s, stage %s", v.Owed, v.Payments[0].Kind, v.Stage)
	}
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: usd(55_00)}))
	v = b.order(v.ID)
	if v.Owed.Sign() != 0 || v.Payments[1].Kind != order.Balance || v.Stage != order.AwaitsSigning {
		t.Errorf("owed %s, kind %s, stage %s", v.Owed, v.Payments[1].Kind, v.Stage)
	}
	b.refused(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: usd(1)}), fault.Refused, "amount", "nothing is owed")
	mark := b.latest(studio.MarkPaid)
	b.must(b.Undo(b.ctx, mark.ID))
	b.refused(b.Undo(b.ctx, mark.ID), fault.Refused, "", "undone already")
	if v = b.order(v.ID); v.Owed != usd(55_00) || !v.Payments[1].Reversed {
		t.Errorf("owed %s after the balance was taken back", v.Owed)
	}
	b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: usd(40_00), Kind: order.Refund}))
	marks := b.order(v.ID).Marks // newest first, "taken" last
	deposit := marks[len(marks)-2]
	b.refused(b.Undo(b.ctx, deposit.ID), fault.Refused, "", "more would be paid back")
	b.sound()
}

func TestCancelGivesNumbersBackTheRightWay(t *testing.T) {
	b := newBed(t)
	v := b.paid(b.heron.ID, b.heron.ID)
	b.must(b.Sign(b.ctx, lineIDs(v)[:1]))
	b.refused(b.Cancel(b.ctx, studio.CancelIn{Order: v.ID}), fault.Invalid, "reason", "")
	b.refused(b.Cancel(b.ctx, studio.CancelIn{Order: v.ID, Reason: "x", Refund: usd(500_00)}), fault.Refused, "refund", "185.00")
	b.must(b.Cancel(b.ctx, studio.CancelIn{Order: v.ID, Reason: "changed her mind", Refund: usd(185_00)}))
	b.refused(b.Cancel(b.ctx, studio.CancelIn{Order: v.ID, Reason: "again"}), fault.Refused, "", "cancelled")

	if st := b.state(b.heron.ID, 1); st.State != edition.Signed || st.Line != 0 {
		t.Errorf("the signed number stands %+v, want signed in the drawer without a holder", st)
	}
	if st := b.state(b.heron.ID, 2); st.State != edition.Free {
		t.Errorf("the promised number is %s, want free", st.State)
	}
	v = b.order(v.ID)
	if v.State != order.Cancelled || v.Owed.Sign() != 0 || v.Due.Sign() != 0 || v.Stage != order.Done {
		t.Errorf("%s, owed %s, due %s, %s", v.State, v.Owed, v.Due, v.Stage)
	}
	if n := b.sheetsOf(b.heron.ID); n != 4 {
		t.Errorf("%d sheets in the drawer, want 4: a cancelled order takes none", n)
	}
	// The signed number is the lowest one again, and its next holder need not wait for signing.
	next := b.paid(b.heron.ID)
	if next.Views[0].Label != "1/5" || next.Stage != order.AwaitsPacking {
		t.Errorf("the next order got %s and is at %s", next.Views[0].Label, next.Stage)
	}
	b.sound()
}

func TestRenumberAndDropLine(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.Outlet = b.market.ID
	in.Lines = []studio.SaleLine{{Edition: b.heron.ID}, {Edition: b.card.ID}}
	v := b.take(in) // 90 + 12 + 5; fee 6.5 % of 107.00 = 6.96 + 0.20
	line := v.Lines[0].ID
	b.refused(b.Renumber(b.ctx, line, "1"), fault.Invalid, "number", "already")
	b.refused(b.Renumber(b.ctx, line, "9"), fault.Invalid, "number", "beyond")
	b.refused(b.Renumber(b.ctx, v.Lines[1].ID, "2"), fault.Refused, "number", "open edition")
	b.refused(b.Renumber(b.ctx, 99, "2"), fault.Missing, "", "")
	b.must(b.Renumber(b.ctx, line, "4"))
	if st := b.state(b.heron.ID, 1); st.State != edition.Free {
		t.Errorf("the old number is %s", st.State)
	}
	if v = b.order(v.ID); v.Views[0].Label != "4/5" {
		t.Errorf("the line has %s", v.Views[0].Label)
	}
	b.must(b.Renumber(b.ctx, line, ""))
	if v = b.order(v.ID); v.Views[0].Label != "1/5" {
		t.Errorf("the line has %s, want the lowest", v.Views[0].Label)
	}
	if v.Fee != usd(7_16) {
		t.Errorf("fee %s, want 7.16", v.Fee)
	}
	b.must(b.DropLine(b.ctx, line, "not wanted"))
	v = b.order(v.ID)
	// 17.00 are left: 6.5 % = 1.105, half up 1.11, plus 0.20.
	if v.Due != usd(17_00) || v.Fee != usd(1_31) || b.state(b.heron.ID, 1).State != edition.Free {
		t.Errorf("due %s, fee %s, number %s", v.Due, v.Fee, b.state(b.heron.ID, 1).State)
	}
	b.refused(b.DropLine(b.ctx, line, "again"), fault.Refused, "", "taken out")
	b.refused(b.DropLine(b.ctx, v.Lines[1].ID, "too"), fault.Refused, "", "only print")
	b.sound()
}

func TestAmend(t *testing.T) {
	b := newBed(t)
	v := b.take(b.sale())
	abroad := order.Address{Name: "Béla Gál", Line1: "Fő utca 3", City: "Győr", Postcode: "9021", Country: "HU"}
	v, err := b.Amend(b.ctx, studio.AmendIn{Order: v.ID, ShipTo: &abroad, Promised: ptr(calendar.Date(2026, 3, 20)), Postage: ptr(usd(9_00)), Note: ptr("fragile\nplease")})
	b.must(err)
	if v.ShipTo != abroad || v.Due != usd(99_00) || v.Promised != calendar.Date(2026, 3, 20) || v.Note != "fragile\nplease" {
		t.Errorf("amended to %+v, due %s", v.ShipTo, v.Due)
	}
	for _, c := range []struct {
		in    studio.AmendIn
		field string
	}{
		{studio.AmendIn{Promised: ptr(calendar.Date(2026, 3, 3))}, "promised"},
		{studio.AmendIn{Promised: &calendar.Day{}}, "promised"},
		{studio.AmendIn{ArriveBy: ptr(calendar.Date(2026, 3, 19))}, "arrive_by"},
		{studio.AmendIn{Fee: ptr(usd(-1))}, "fee"},
		{studio.AmendIn{Tax: ptr(money.Of(1, "JPY"))}, "tax"},
		{studio.AmendIn{ShipTo: &order.Address{}}, "ship_to.line1"},
	} {
		c.in.Order = v.ID
		_, err := b.Amend(b.ctx, c.in)
		b.refused(err, fault.Invalid, c.field, "")
	}
	b.must(b.Cancel(b.ctx, studio.CancelIn{Order: v.ID, Reason: "test"}))
	_, err = b.Amend(b.ctx, studio.AmendIn{Order: v.ID, Postage: ptr(usd(1))})
	b.refused(err, fault.Refused, "", "cancelled")
	b.sound()
}

func TestOverride(t *testing.T) {
	b := newBed(t)
	v := b.take(b.sale())
	b.refused(b.LiftOverride(b.ctx, v.ID), fault.Refused, "", "not overridden")
	b.refused(b.Override(b.ctx, v.ID, " "), fault.Invalid, "reason", "")
	b.must(b.Override(b.ctx, v.ID, "a friend, pays at the fair"))
	b.refused(b.Override(b.ctx, v.ID, "again"), fault.Refused, "", "a friend")
	v = b.order(v.ID)
	if v.Override.Who != "tester" || len(v.HeldBack) != 2 || v.MayLeave() != nil {
		t.Errorf("override %+v, held back %v", v.Override, v.HeldBack)
	}
	b.must(b.LiftOverride(b.ctx, v.ID))
	v = b.order(v.ID)
	if v.Override != nil || !contains(v.Marks[0].Text, "a friend") {
		t.Errorf("the journal must keep the reason: %q", v.Marks[0].Text)
	}
	paid := b.paid(b.card.ID)
	b.must(b.Sign(b.ctx, lineIDs(paid)))
	b.refused(b.Override(b.ctx, paid.ID, "why not"), fault.Refused, "", "nothing holds it back")
}
