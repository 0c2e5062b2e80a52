package dues_test

import (
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/dues"
	"solander/fault"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/order"
	"solander/owing"
)

// card sells an open print for 50.00 to a buyer, paid so far; its postage is nothing.
func card(b *bed.Bed, buyer string, paid int64) int64 {
	b.Helper()
	in := b.Sale()
	in.Buyer, in.Rule = order.Buyer{Name: buyer, Email: buyer + "@example.org"}, ""
	in.Paid, in.Postage = bed.USD(paid), bed.USD(0)
	in.Lines = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(50_00))}}
	return b.Take(in).ID
}

// By hand: of three sales of 50.00 one is paid, of one 20.00 are, of one nothing; 80.00 are owed, 50.00 of it for 40 days.
func TestWhatIsOwed(t *testing.T) {
	b := bed.New(t)
	card(b, "ines", 50_00)
	old := card(b, "ines", 0)
	b.Clock.Set(2026, 4, 13) // 40 days later
	fresh := card(b, "bram", 20_00)
	got, err := dues.Owed(b.Ctx, b.Studio)
	b.Must(err)
	days := map[int64]int{}
	var sum int64
	for _, it := range got.Items {
		days[it.Order], sum = it.Days, sum+it.Amount.Minor
	}
	if len(days) != 2 || days[old] != 40 || days[fresh] != 0 || sum != 80_00 {
		t.Errorf("owed are %+v", got.Items)
	}

	// What is owed of a sale whose print has not left is no debt in the books yet; what was paid of it is a deposit.
	all, err := journal.Balance(b.Ctx, b.Studio, journal.Span{})
	b.Must(err)
	for _, row := range all.Rows {
		switch row.Key {
		case ledger.Buyers:
			t.Errorf("buyers owe %d by the journal before anything left", row.Debit-row.Credit)
		case ledger.Deposits:
			if n := row.Credit - row.Debit; n != 70_00 {
				t.Errorf("deposits are %d", n)
			}
		}
	}

	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: old, Amount: bed.USD(50_00)}))
	if got, err = dues.Owed(b.Ctx, b.Studio); err != nil || len(got.Items) != 1 || got.Items[0].Order != fresh || got.Items[0].Amount != bed.USD(30_00) {
		t.Errorf("after it was paid %+v, %v", got.Items, err)
	}
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: fresh, Reason: "not wanted"}))
	if got, err = dues.Owed(b.Ctx, b.Studio); err != nil || len(got.Items) != 1 || got.Items[0].Kind != owing.Back || got.Items[0].Amount != bed.USD(20_00) {
		t.Errorf("of a cancelled order that was paid in part %+v, %v", got.Items, err)
	}
}

// A statement is of one buyer: what was sold and paid, and what is left at its end.
func TestAStatementOfOneBuyer(t *testing.T) {
	b := bed.New(t)
	id := card(b, "ines", 20_00)
	card(b, "bram", 0)
	v := b.Order(id)
	st, err := dues.StatementOf(b.Ctx, b.Studio, dues.StatementIn{Buyer: v.Buyer})
	b.Must(err)
	if st.Buyer.Name != "ines" || st.Closing != bed.USD(30_00) {
		t.Errorf("%s owes %s", st.Buyer.Name, st.Closing)
	}
	for _, e := range st.Entries {
		if e.Order != id {
			t.Errorf("it tells of another's order: %+v", e)
		}
	}
	_, err = dues.StatementOf(b.Ctx, b.Studio, dues.StatementIn{Buyer: v.Buyer, From: calendar.Date(2026, 3, 5), Until: calendar.Date(2026, 3, 4)})
	b.Refused(err, fault.Invalid, "until", "ends before it begins")
	_, err = dues.StatementOf(b.Ctx, b.Studio, dues.StatementIn{Buyer: 999})
	b.Refused(err, fault.Missing, "", "")
}
