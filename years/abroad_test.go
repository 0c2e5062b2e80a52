package years_test

import (
	"bytes"
	"testing"

	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/currencies"
	"solander/dispatch"
	"solander/exchange"
	"solander/internal/bed"
	"solander/internal/engines"
	"solander/internal/hledger"
	"solander/invoice"
	"solander/journal"
	"solander/labelling"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/years"
)

// An order agreed as 80.00 EUR for 96.00 USD, from the sale to the page of the year: a deposit of 20.00 EUR by the rate, 1.20, settles 24.00 without a gain;
// packed by an override, labelled and handed over; 60.00 EUR settle the other 72.00 and were worth 73.50; its invoice is in euros. Another program makes
// the same of the journal.
func TestAnOrderInAnotherCurrencyToItsYear(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		_, err := currencies.Enter(b.Ctx, b.Studio, exchange.Rate{Base: "EUR", Quote: "USD", Rate: "1.20", Day: calendar.Date(2026, 3, 4)})
		b.Must(err)
		b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Card.ID, 9, "found"))
		in := b.Sale()
		in.Lines, in.Postage = []book.SaleLine{{Edition: b.Card.ID, Price: bed.Ptr(bed.USD(90_00))}}, bed.USD(6_00)
		in.Agreed, in.Paid = &currencies.AgreeIn{Currency: "EUR"}, money.Of(20_00, "EUR")
		v := b.Take(in)
		b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
		b.Must(book.Override(b.Ctx, b.Studio, v.ID, "she is known"))
		parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
		b.Must(err)
		for _, p := range parcels {
			b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_00)}))
		}
		_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
		b.Must(err)
		got, err := book.TakeAbroad(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: money.Of(60_00, "EUR"), Worth: bed.Ptr(bed.USD(73_50))})
		b.Must(err)
		if got.Gain != bed.USD(1_50) || !got.Left.IsZero() || !got.Still.IsZero() {
			t.Errorf("taken is %+v", got)
		}
		bill, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: v.ID})
		b.Must(err)
		if bill.Total != money.Of(80_00, "EUR") || bill.Body.Lines[0].Amount != money.Of(75_00, "EUR") || !bill.Body.Owed.IsZero() || bill.Body.Rate.Book != bed.USD(96_00) {
			t.Errorf("the invoice is %+v", bill)
		}
		if v = b.Order(v.ID); v.State != order.Closed {
			t.Errorf("the order is %s", v.State)
		}
		b.Sound()
		year, err := years.Year(b.Ctx, b.Studio, 2026)
		b.Must(err)
		var text bytes.Buffer
		b.Must(journal.Write(b.Ctx, b.Studio, journal.Span{}, false, &text))
		balances := hledger.Balances(t, text.Bytes())
		hledger.SameYear(t, year.Years[0], balances)
		gains, _ := ledger.Known(ledger.Exchange)
		for name, want := range map[string]string{"Sales of prints": "-90.00", gains.Name: "-1.50", "Money at outlets": "97.50"} {
			if got := balances[name+" USD"]; got != want {
				t.Errorf("%s: hledger says %q, want %s", name, got, want)
			}
		}
		if sum, lines := traced(b, 2026, 0, "other-income"); sum != -1_50 || lines != 1 {
			t.Errorf("the row of gains leads to %d lines of %d", lines, sum)
		}
	})
}
