package journal_test

import (
	"testing"

	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/dues"
	"solander/fault"
	"solander/internal/bed"
	"solander/invoice"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/owing"
	"solander/studio"
)

// owedAsTheJournalSays holds that of every order that is not open any more the order page, the list of what is owed and the statement of its buyer say
// what the journal has: owed by the buyer, to be paid back, and paid back for good. It returns of how many something was paid back for good.
func owedAsTheJournalSays(t *testing.T, b *bed.Bed) (given int) {
	t.Helper()
	has, ended := map[int64]map[string]int64{}, map[int64]order.Order{}
	var owed int64
	b.Must(b.Read(b.Ctx, func(tx *studio.Turn) error {
		err := tx.Tx.EachEntry(calendar.Day{}, calendar.Day{}, func(e ledger.Entry) error {
			for _, l := range e.Lines {
				if has[l.Order] == nil {
					has[l.Order] = map[string]int64{}
				}
				has[l.Order][l.Account] += l.Amount.Minor
			}
			return nil
		})
		if err != nil {
			return err
		}
		for q := (studio.OrderQuery{Limit: 500}); ; {
			page, err := tx.Tx.Orders(q)
			if err != nil || len(page) == 0 {
				return err
			}
			for _, o := range page {
				if q.Before = o.ID; o.State != order.Open {
					ended[o.ID] = o
				}
			}
		}
	}))
	by := map[int64][]order.Order{}
	for id, o := range ended {
		in, v := has[id], b.Order(id)
		if got := in[ledger.Buyers] + in[ledger.Deposits]; v.Owed.Minor != got || v.Given().Minor != in[ledger.Refunds] {
			t.Errorf("%s, %s: the order says %s, and %s given; the journal has %d of the buyer, %d to pay back and %d given",
				o.Mark, o.State, order.OwedInWords(v.Owed), v.Given(), in[ledger.Buyers], -in[ledger.Deposits], in[ledger.Refunds])
		}
		if v.Given().Sign() > 0 {
			given++
		}
		owed += in[ledger.Buyers]
		by[o.Buyer] = append(by[o.Buyer], o)
	}
	a, err := dues.Owed(b.Ctx, b.Studio)
	b.Must(err)
	var listed int64
	for _, it := range a.Items {
		if _, ok := ended[it.Order]; ok && it.Kind != owing.Back {
			listed += it.Amount.Minor
		}
	}
	if listed != owed {
		t.Errorf("%d are listed as owed of orders that went, the journal has %d", listed, owed)
	}
	for buyer, orders := range by {
		var want int64
		for _, o := range orders {
			want += has[o.ID][ledger.Buyers] + has[o.ID][ledger.Deposits]
		}
		s, err := owing.StatementOf(orders, nil, calendar.Day{}, calendar.Date(2099, 12, 31), "USD")
		if err != nil || s.Closing.Minor != want {
			t.Errorf("the statement of buyer %d closes with %s, the journal has %d: %v", buyer, s.Closing, want, err)
		}
	}
	return given
}

// end is what may come at last: she pays back to keep a buyer content, who pays a part of it again, and writes an invoice and a credit note, by which no
// money moves.
func (h *history) end(id int64) {
	cents := func(most int) money.Amount { return bed.USD(int64(1 + h.late.IntN(most))) }
	for range h.late.IntN(3) {
		h.may("refund", book.Pay(h.Ctx, h.Studio, book.PaymentIn{Order: id, Kind: order.Refund, Amount: cents(2_000)}))
	}
	if h.late.IntN(3) == 0 {
		h.may("pay a part", book.Pay(h.Ctx, h.Studio, book.PaymentIn{Order: id, Amount: cents(1_500)}))
	}
	i, err := billing.Write(h.Ctx, h.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: id})
	if h.may("invoice", err) && h.late.IntN(2) == 0 {
		_, err = billing.Correct(h.Ctx, h.Studio, billing.CorrectIn{Bill: i.ID, Amount: cents(4_000), Reason: "x"})
		h.may("credit note", err)
	}
}

// A closed order of which 10.00 was paid back stays closed in the same way whatever papers are written: nothing is owed of it, the refund is
// in the journal as given; and she who pays it again owes nothing either. By hand.
func TestAGoodwillRefundIsNotOwedAgain(t *testing.T) {
	for name, open := range engines {
		t.Run(name, func(t *testing.T) {
			b := open(t)
			v := b.SentOff(b.Card.ID)
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: bed.USD(10_00)}))
			i, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: v.ID})
			b.Must(err)
			_, err = billing.Correct(b.Ctx, b.Studio, billing.CorrectIn{Bill: i.ID, Amount: bed.USD(10_00), Reason: "to keep her content"})
			b.Must(err)
			a, err := dues.Owed(b.Ctx, b.Studio)
			b.Must(err)
			if got := b.Order(v.ID); !got.Owed.IsZero() || got.Given() != bed.USD(10_00) || !a.Owed.IsZero() || len(a.Items) > 0 || !i.Body.Owed.IsZero() {
				t.Errorf("%s, %s given, %s in the list, %s on the invoice", order.OwedInWords(got.Owed), got.Given(), a.Owed, i.Body.Owed)
			}
			if owedAsTheJournalSays(t, b) != 1 {
				t.Error("nothing was given")
			}
			b.Refused(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(10_01)}), fault.Refused, "amount", "10.01 USD is more than the 10.00 USD that is owed and was paid back")
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(6_00)}))
			if got := b.Order(v.ID); !got.Owed.IsZero() || got.Given() != bed.USD(4_00) {
				t.Errorf("%s, %s given", order.OwedInWords(got.Owed), got.Given())
			}
			owedAsTheJournalSays(t, b)
			b.Sound()
		})
	}
}
