package book_test

import (
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
)

func TestPayThatIsWrong(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale()) // 95.00
	for _, c := range []struct {
		name  string
		in    book.PaymentIn
		code  fault.Code
		field string
		says  string
	}{
		{"nothing", book.PaymentIn{}, fault.Invalid, "amount", ""},
		{"negative", book.PaymentIn{Amount: bed.USD(-1)}, fault.Invalid, "amount", ""},
		{"kind", book.PaymentIn{Amount: bed.USD(1), Kind: "gift"}, fault.Invalid, "kind", ""},
		{"currency", book.PaymentIn{Amount: money.Of(100, "EUR")}, fault.Invalid, "amount", "EUR"},
		{"tomorrow", book.PaymentIn{Amount: bed.USD(1), Day: calendar.Date(2026, 3, 5)}, fault.Invalid, "day", "future"},
		{"before the sale", book.PaymentIn{Amount: bed.USD(1), Day: calendar.Date(2026, 3, 3)}, fault.Invalid, "day", "before the day of the sale"},
		{"too much", book.PaymentIn{Amount: bed.USD(95_01)}, fault.Refused, "amount", "95.00"},
		{"in another window", book.PaymentIn{Amount: bed.USD(95_00), Seen: bed.Ptr(bed.USD(55_00))}, fault.Changed, "amount", "it is 95.00 USD still owed meanwhile, and was 55.00 USD still owed"},
		{"paid in another window", book.PaymentIn{Amount: bed.USD(95_00), Before: bed.Ptr(bed.USD(40_00))}, fault.Changed, "amount", "0.00 USD of it are paid meanwhile, and 40.00 USD were"},
		{"refund of nothing", book.PaymentIn{Amount: bed.USD(1), Kind: order.Refund}, fault.Refused, "amount", "0.00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := *b
			b.TB = t
			c.in.Order = v.ID
			b.Refused(book.Pay(b.Ctx, b.Studio, c.in), c.code, c.field, c.says)
		})
	}
	b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: 99, Amount: bed.USD(1)}), fault.Missing, "", "")
	if v := b.Order(v.ID); len(v.Payments) != 0 {
		t.Errorf("%d payments were kept", len(v.Payments))
	}
}

func TestDepositBalanceRefundAndUndo(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(40_00)}))
	v = b.Order(v.ID)
	if v.Owed != bed.USD(55_00) || v.Payments[0].Kind != order.Deposit || v.Stage != order.AwaitsMoney {
		t.Errorf("owed %s, kind %s, stage %s", v.Owed, v.Payments[0].Kind, v.Stage)
	}
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(55_00)}))
	v = b.Order(v.ID)
	if v.Owed.Sign() != 0 || v.Payments[1].Kind != order.Balance || v.Stage != order.AwaitsSigning {
		t.Errorf("owed %s, kind %s, stage %s", v.Owed, v.Payments[1].Kind, v.Stage)
	}
	b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(1)}), fault.Refused, "amount", "nothing is owed")
	mark := b.Latest(studio.MarkPaid)
	b.Must(dispatch.Undo(b.Ctx, b.Studio, mark.ID))
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, mark.ID), fault.Refused, "", "undone already")
	if v = b.Order(v.ID); v.Owed != bed.USD(55_00) || !v.Payments[1].Reversed {
		t.Errorf("owed %s after the balance was taken back", v.Owed)
	}
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(40_00), Kind: order.Refund}))
	marks := b.Order(v.ID).Marks // newest first, "taken" last
	deposit := marks[len(marks)-2]
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, deposit.ID), fault.Refused, "", "more would be paid back")
	b.Sound()
}

func TestCancelGivesNumbersBackTheRightWay(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Heron.ID, b.Heron.ID)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)[:1]))
	b.Refused(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID}), fault.Invalid, "reason", "")
	b.Refused(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID, Reason: "x", Refund: bed.USD(500_00)}), fault.Refused, "refund", "185.00")
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID, Reason: "changed her mind", Refund: bed.USD(185_00)}))
	b.Refused(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID, Reason: "again"}), fault.Refused, "", "cancelled")

	if st := b.State(b.Heron.ID, 1); st.State != edition.Signed || st.Line != 0 {
		t.Errorf("the signed number stands %+v, want signed in the drawer without a holder", st)
	}
	if st := b.State(b.Heron.ID, 2); st.State != edition.Free {
		t.Errorf("the promised number is %s, want free", st.State)
	}
	v = b.Order(v.ID)
	if v.State != order.Cancelled || v.Owed.Sign() != 0 || v.Due.Sign() != 0 || v.Stage != order.Done {
		t.Errorf("%s, owed %s, due %s, %s", v.State, v.Owed, v.Due, v.Stage)
	}
	if n := b.SheetsOf(b.Heron.ID); n != 4 {
		t.Errorf("%d sheets in the drawer, want 4: a cancelled order takes none", n)
	}
	// The signed number is the lowest one again, and its next holder need not wait for signing.
	next := b.Paid(b.Heron.ID)
	if next.Views[0].Label != "1/5" || next.Stage != order.AwaitsPacking {
		t.Errorf("the next order got %s and is at %s", next.Views[0].Label, next.Stage)
	}
	b.Sound()
}

// What is kept of a payment is by the outlet's table of its day, or as it was said; a refund is kept nothing of; and it stays with the
// payment when the table changes. 90.00 at 3 % + 0.25 is 2.95.
func TestPaymentsKeepTheirFee(t *testing.T) {
	b := bed.New(t)
	card := charging.Row{What: charging.Payment, Name: "card", Share: 300, Fixed: bed.USD(25)}
	table := func(rows ...charging.Row) {
		_, err := house.ChangeOutlet(b.Ctx, b.Studio, b.Market.ID, func(u *order.Outlet) error {
			u.Fees = rows
			return nil
		})
		b.Must(err)
	}
	table(card)
	in := b.Sale()
	in.Outlet, in.Paid = b.Market.ID, bed.USD(90_00)
	in.Lines = []book.SaleLine{{Edition: b.Heron.ID}}
	v := b.Take(in)
	table()
	fee, over := bed.USD(0), bed.USD(6_00)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(5_00)}))
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(5_00), Fee: &fee}))
	b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(5_00), Fee: &over}), fault.Invalid, "fee", "more than what was paid")
	b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(5_00), Fee: &over}), fault.Invalid, "fee", "refund")
	got := b.Order(v.ID).Payments
	if len(got) != 3 || got[0].Fee != bed.USD(2_95) || !got[1].Fee.IsZero() || !got[2].Fee.IsZero() {
		t.Errorf("%+v", got)
	}
	b.Sound()
}

func TestRenumberAndDropLine(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Outlet = b.Market.ID
	in.Lines = []book.SaleLine{{Edition: b.Heron.ID}, {Edition: b.Card.ID}}
	v := b.Take(in) // 90 + 12 + 5; fee 6.5 % of 107.00 = 6.96 + 0.20
	line := v.Lines[0].ID
	b.Refused(book.Renumber(b.Ctx, b.Studio, line, "1"), fault.Invalid, "number", "already")
	b.Refused(book.Renumber(b.Ctx, b.Studio, line, "9"), fault.Invalid, "number", "beyond")
	b.Refused(book.Renumber(b.Ctx, b.Studio, v.Lines[1].ID, "2"), fault.Refused, "number", "open edition")
	b.Refused(book.Renumber(b.Ctx, b.Studio, 99, "2"), fault.Missing, "", "")
	b.Must(book.Renumber(b.Ctx, b.Studio, line, "4"))
	if st := b.State(b.Heron.ID, 1); st.State != edition.Free {
		t.Errorf("the old number is %s", st.State)
	}
	if v = b.Order(v.ID); v.Views[0].Label != "4/5" {
		t.Errorf("the line has %s", v.Views[0].Label)
	}
	b.Must(book.Renumber(b.Ctx, b.Studio, line, ""))
	if v = b.Order(v.ID); v.Views[0].Label != "1/5" {
		t.Errorf("the line has %s, want the lowest", v.Views[0].Label)
	}
	if v.Fee != bed.USD(7_16) {
		t.Errorf("fee %s, want 7.16", v.Fee)
	}
	b.Must(book.DropLine(b.Ctx, b.Studio, line, "not wanted"))
	v = b.Order(v.ID)
	// 17.00 are left: 6.5 % = 1.105, half up 1.11, plus 0.20.
	if v.Due != bed.USD(17_00) || v.Fee != bed.USD(1_31) || b.State(b.Heron.ID, 1).State != edition.Free {
		t.Errorf("due %s, fee %s, number %s", v.Due, v.Fee, b.State(b.Heron.ID, 1).State)
	}
	b.Refused(book.DropLine(b.Ctx, b.Studio, line, "again"), fault.Refused, "", "taken out")
	b.Refused(book.DropLine(b.Ctx, b.Studio, v.Lines[1].ID, "too"), fault.Refused, "", "only print")
	b.Sound()
}

func TestAmend(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	abroad := order.Address{Name: "Béla Gál", Line1: "Fő utca 3", City: "Győr", Postcode: "9021", Country: "HU"}
	v, err := book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: v.ID, ShipTo: &abroad, Promised: bed.Ptr(calendar.Date(2026, 3, 20)), Postage: bed.Ptr(bed.USD(9_00)), Note: bed.Ptr("fragile\nplease")})
	b.Must(err)
	if v.ShipTo != abroad || v.Due != bed.USD(99_00) || v.Promised != calendar.Date(2026, 3, 20) || v.Note != "fragile\nplease" {
		t.Errorf("amended to %+v, due %s", v.ShipTo, v.Due)
	}
	for _, c := range []struct {
		in    book.AmendIn
		field string
	}{
		{book.AmendIn{Promised: bed.Ptr(calendar.Date(2026, 3, 3))}, "promised"},
		{book.AmendIn{Promised: &calendar.Day{}}, "promised"},
		{book.AmendIn{ArriveBy: bed.Ptr(calendar.Date(2026, 3, 19))}, "arrive_by"},
		{book.AmendIn{Fee: bed.Ptr(bed.USD(-1))}, "fee"},
		{book.AmendIn{Tax: bed.Ptr(money.Of(1, "JPY"))}, "tax"},
		{book.AmendIn{ShipTo: &order.Address{}}, "ship_to.line1"},
	} {
		c.in.Order = v.ID
		_, err := book.Amend(b.Ctx, b.Studio, c.in)
		b.Refused(err, fault.Invalid, c.field, "")
	}
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: v.ID, Reason: "test"}))
	_, err = book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: v.ID, Postage: bed.Ptr(bed.USD(1))})
	b.Refused(err, fault.Refused, "", "cancelled")
	b.Sound()
}

func TestOverride(t *testing.T) {
	b := bed.New(t)
	v := b.Take(b.Sale())
	b.Refused(book.LiftOverride(b.Ctx, b.Studio, v.ID), fault.Refused, "", "not overridden")
	b.Refused(book.Override(b.Ctx, b.Studio, v.ID, " "), fault.Invalid, "reason", "")
	b.Must(book.Override(b.Ctx, b.Studio, v.ID, "a friend, pays at the fair"))
	b.Refused(book.Override(b.Ctx, b.Studio, v.ID, "again"), fault.Refused, "", "a friend")
	v = b.Order(v.ID)
	if v.Override.Who != "tester" || len(v.HeldBack) != 2 || v.MayLeave() != nil {
		t.Errorf("override %+v, held back %v", v.Override, v.HeldBack)
	}
	b.Must(book.LiftOverride(b.Ctx, b.Studio, v.ID))
	v = b.Order(v.ID)
	if v.Override != nil || !bed.Contains(v.Marks[0].Text, "a friend") {
		t.Errorf("the journal must keep the reason: %q", v.Marks[0].Text)
	}
	paid := b.Paid(b.Card.ID)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(paid)))
	b.Refused(book.Override(b.Ctx, b.Studio, paid.ID, "why not"), fault.Refused, "", "nothing holds it back")
}
