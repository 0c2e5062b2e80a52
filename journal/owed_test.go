package journal_test

import (
	"testing"

	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/dues"
	"solander/fault"
	"solander/internal/bed"
	"solander/invoice"
	"solander/labelling"
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
	h.writes(id)
}

// writes is that an invoice is written, if none stands, which a credit note corrects, in part or in whole; or that a price is changed.
func (h *history) writes(id int64) {
	if lines := bed.LineIDs(h.Order(id)); h.late.IntN(3) == 0 && len(lines) > 0 {
		h.may("change a price", book.LinePrice(h.Ctx, h.Studio, lines[h.late.IntN(len(lines))], bed.USD(int64(h.late.IntN(15_000)))))
		return
	}
	_, err := billing.Write(h.Ctx, h.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: id})
	h.may("invoice", err)
	all, err := billing.List(h.Ctx, h.Studio, invoice.Query{Order: id, Kind: invoice.Invoice})
	h.Must(err)
	if len(all.Bills) == 0 || h.late.IntN(3) == 0 {
		return
	}
	off := bed.USD(int64(h.late.IntN(4_000))) // nothing: all that is left
	_, err = billing.Correct(h.Ctx, h.Studio, billing.CorrectIn{Bill: all.Bills[0].ID, Amount: off, Reason: "x"})
	h.may("credit note", err)
}

// An open order of which a credit note took off 20.00, which were paid back, is settled, leaves, and is owed nothing after that either: on its page, in
// the list, in a reminder, in a payment's bounds and in the journal. So is one that was not paid yet, for the rest. By hand.
func TestWhatACreditNoteTookOffIsNotOwed(t *testing.T) {
	for name, open := range engines {
		t.Run(name, func(t *testing.T) {
			b := open(t)
			v := b.Ready(b.Card.ID)
			due := v.Due
			_, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: v.ID})
			b.Must(err)
			off, less := bed.USD(3_00), bed.USD(due.Minor-3_00)
			b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Kind: order.Refund, Amount: off}))
			if got := b.Order(v.ID); got.Owed != off || got.Stage != order.AwaitsMoney {
				t.Fatalf("without a credit note %s is owed of it, and it %s", got.Owed, got.Stage.Words())
			}
			papers, err := billing.List(b.Ctx, b.Studio, invoice.Query{Order: v.ID})
			b.Must(err)
			_, err = billing.Correct(b.Ctx, b.Studio, billing.CorrectIn{Bill: papers.Bills[0].ID, Amount: off, Reason: "a corner is bent"})
			b.Must(err)
			owes := func(want money.Amount) {
				t.Helper()
				a, err := dues.Owed(b.Ctx, b.Studio)
				b.Must(err)
				if got := b.Order(v.ID); got.Owed != want || a.Owed != want {
					t.Errorf("%s, and %s in the list; want %s", order.OwedInWords(got.Owed), a.Owed, want)
				}
			}
			owes(bed.USD(0))
			_, err = dues.Remind(b.Ctx, b.Studio, v.ID)
			b.Refused(err, fault.Refused, "", "nothing is owed of it")
			line := bed.LineIDs(v)[0]
			b.Must(book.LinePrice(b.Ctx, b.Studio, line, bed.USD(v.Lines[0].Price.Minor-3_00)))
			owes(bed.USD(0))
			if got := b.Order(v.ID); got.Due != less || got.Given().Sign() != 0 {
				t.Errorf("%s are due and %s given of a price that was lowered too", got.Due, got.Given())
			}
			b.Must(book.LinePrice(b.Ctx, b.Studio, line, bed.USD(v.Lines[0].Price.Minor-4_00)))
			if got := b.Order(v.ID); got.Owed != bed.USD(-1_00) {
				t.Errorf("lowered by a dollar more, %s", order.OwedInWords(got.Owed))
			}
			b.Must(book.LinePrice(b.Ctx, b.Studio, line, v.Lines[0].Price))
			owes(bed.USD(0))
			_, err = dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
			b.Must(err)
			for _, p := range b.Order(v.ID).Parcels {
				b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_00)}))
			}
			_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
			b.Must(err)
			owes(bed.USD(0))
			if owedAsTheJournalSays(t, b) != 1 {
				t.Error("nothing was given")
			}
			b.Refused(book.LinePrice(b.Ctx, b.Studio, line, bed.USD(1)), fault.Refused, "price", "correct its invoice by a credit note")
			b.Sound()
		})
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
