package years_test

import (
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/fault"
	"solander/internal/bed"
	"solander/internal/engines"
	"solander/journal"
	"solander/money"
	"solander/order"
	"solander/stockroom"
	"solander/yearly"
	"solander/years"
)

// traced is the sum of all lines behind a row, page by page, as they stand on the accounts, and how many they are.
func traced(b *bed.Bed, year, month int, of string) (sum int64, lines int) {
	b.Helper()
	for page := 0; ; page++ {
		x, err := years.Trace(b.Ctx, b.Studio, years.TraceIn{Year: year, Month: month, Of: of, Page: page})
		b.Must(err)
		for _, l := range x.Lines {
			sum, lines = sum+l.Amount.Minor, lines+1
		}
		if !x.More {
			return sum, lines
		}
		if len(x.Lines) != years.PageOf {
			b.Fatalf("page %d of %s has %d lines, and there are more", page, of, len(x.Lines))
		}
	}
}

// Every row of a year is the sum of the lines to which it leads, also over several pages, and over two years; so is every month of what it came to. A row
// of what came in, or is owed by her, is read the other way round than its lines stand.
func TestEveryFigureIsTraced(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		b.Clock.Set(2025, 12, 30)
		b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Card.ID, 90, "found"))
		b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: bed.USD(900_00), Day: calendar.Date(2025, 12, 29)}))
		sell := func(n int) {
			for range n {
				in := b.Sale()
				in.Lines = []book.SaleLine{{Edition: b.Card.ID}}
				in.Postage, in.Tax, in.Paid, in.InPerson = bed.USD(0), bed.USD(70), bed.USD(12_70), true
				in.Outlet = b.Own.ID
				b.Take(in)
			}
		}
		sell(3)
		b.Clock.Set(2026, 1, 4)
		sell(years.PageOf + 5)
		b.Clock.Set(2026, 3, 4)
		o := b.Paid(b.Heron.ID)
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: o.ID, Kind: order.Refund, Amount: bed.USD(10_00)}))
		b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "labs", Amount: bed.USD(40_00), Day: calendar.Date(2026, 3, 1)}))
		most := 0
		for _, year := range []int{2025, 2026} {
			v, err := years.Year(b.Ctx, b.Studio, year)
			b.Must(err)
			for _, r := range v.Years[0].Rows {
				sign := int64(1)
				if r.Part == yearly.Income || r.Key == "tax" || r.Key == "deposits" || r.Key == "to-pay" {
					sign = -1
				}
				sum, lines := traced(b, year, 0, r.Key)
				if most = max(most, lines); sign*sum != r.Amount.Minor {
					t.Errorf("%d, %s: it says %s, its %d lines come to %d", year, r.Key, r.Amount, lines, sum)
				}
				for i, m := range r.Months {
					if sum, _ := traced(b, year, i+1, r.Key); sign*sum != m.Minor {
						t.Errorf("%d-%02d, %s: it says %s, its lines come to %d", year, i+1, r.Key, m, sum)
					}
				}
			}
		}
		if most <= years.PageOf {
			t.Errorf("%d lines at most: no second page was read", most)
		}
	})
}

// What stood before is entered on its day; what is owed by her is read as such. In a closed period it goes to the first open day, its own noted, and is
// found as what puts that period right. What a cost was is replaced when it is entered again.
func TestWhatStoodBefore(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		amount := func(year int, key string) int64 {
			t.Helper()
			v, err := years.Year(b.Ctx, b.Studio, year)
			b.Must(err)
			for _, r := range v.Years[0].Rows {
				if r.Key == key {
					return r.Amount.Minor
				}
			}
			t.Fatalf("there is no row %s", key)
			return 0
		}
		owed := amount(2026, "to-pay")
		b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "2200", Amount: bed.USD(40_00), Day: calendar.Date(2025, 12, 31), Text: "a lab"}))
		if n := amount(2026, "to-pay") - owed; n != 40_00 || amount(2025, "to-pay") != 40_00 {
			t.Errorf("owed are %d more", n)
		}
		_, err := journal.Close(b.Ctx, b.Studio, calendar.Date(2025, 12, 31))
		b.Must(err)
		b.Must(years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "cash", Amount: bed.USD(5_00), Day: calendar.Date(2025, 11, 30)}))
		late, err := years.Trace(b.Ctx, b.Studio, years.TraceIn{Year: 2026, Of: "late"})
		b.Must(err)
		if len(late.Lines) != 2 || late.Lines[0].Day != calendar.Date(2026, 1, 1) || late.Lines[0].True != calendar.Date(2025, 11, 30) {
			t.Errorf("what puts the closed period right is %+v", late.Lines)
		}
		v, err := years.Year(b.Ctx, b.Studio, 0)
		b.Must(err)
		if v.Year != 2026 || v.Late != 2 || v.Closed != calendar.Date(2025, 12, 31) {
			t.Errorf("year %d, %d late, closed until %s", v.Year, v.Late, v.Closed)
		}

		open := b.Paid(b.Card.ID)
		e := b.Card
		e.ID, e.PrintCost = 0, money.Amount{} // nobody said what its sheets cost
		e = b.Declare("Before the books", e)
		b.Must(stockroom.CountSheets(b.Ctx, b.Studio, e.ID, 3, "counted"))
		o, known := b.SentOff(e.ID), b.SentOff(b.Heron.ID)
		before := amount(2026, "cost-of-goods")
		b.Must(years.Cost(b.Ctx, b.Studio, years.CostIn{Order: o.ID, Cost: bed.USD(3_33)}))
		b.Must(years.Cost(b.Ctx, b.Studio, years.CostIn{Order: o.ID, Cost: bed.USD(4_44)}))
		if n := amount(2026, "cost-of-goods") - before; n != 4_44 {
			t.Errorf("entered again, its prints cost %d", n)
		}
		b.Must(years.Cost(b.Ctx, b.Studio, years.CostIn{Order: o.ID}))
		if n := amount(2026, "cost-of-goods") - before; n != 0 {
			t.Errorf("taken back, its prints cost %d", n)
		}
		b.Sound()

		for what, x := range map[string]struct {
			err   error
			code  fault.Code
			field string
		}{
			"an account of income":     {years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "4000", Amount: bed.USD(1), Day: calendar.Date(2025, 1, 1)}), fault.Invalid, "account"},
			"nothing":                  {years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: bed.USD(0), Day: calendar.Date(2025, 1, 1)}), fault.Invalid, "amount"},
			"another currency":         {years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: money.Of(1, "EUR"), Day: calendar.Date(2025, 1, 1)}), fault.Invalid, "amount"},
			"no day":                   {years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: bed.USD(1)}), fault.Invalid, "day"},
			"tomorrow":                 {years.Open(b.Ctx, b.Studio, years.OpeningIn{Account: "1000", Amount: bed.USD(1), Day: calendar.Date(2026, 3, 5)}), fault.Invalid, "day"},
			"a cost of nothing":        {years.Cost(b.Ctx, b.Studio, years.CostIn{Order: o.ID}), fault.Invalid, "cost"},
			"a cost below nothing":     {years.Cost(b.Ctx, b.Studio, years.CostIn{Order: o.ID, Cost: bed.USD(-1)}), fault.Invalid, "cost"},
			"a cost in the house":      {years.Cost(b.Ctx, b.Studio, years.CostIn{Order: open.ID, Cost: bed.USD(1)}), fault.Refused, ""},
			"a cost that is known":     {years.Cost(b.Ctx, b.Studio, years.CostIn{Order: known.ID, Cost: bed.USD(1)}), fault.Refused, ""},
			"a cost of no order":       {years.Cost(b.Ctx, b.Studio, years.CostIn{Order: 99, Cost: bed.USD(1)}), fault.Missing, ""},
			"a year that is not":       {second(years.Year(b.Ctx, b.Studio, 99)), fault.Invalid, "year"},
			"a row that is not":        {second(years.Trace(b.Ctx, b.Studio, years.TraceIn{Year: 2026, Of: "tips"})), fault.Missing, "of"},
			"a month that is not":      {second(years.Trace(b.Ctx, b.Studio, years.TraceIn{Year: 2026, Month: 13, Of: "sales"})), fault.Invalid, "month"},
			"a page before the first":  {second(years.Trace(b.Ctx, b.Studio, years.TraceIn{Year: 2026, Of: "sales", Page: -1})), fault.Invalid, "page"},
			"a year that closed twice": {second(journal.Close(b.Ctx, b.Studio, calendar.Date(2025, 12, 31))), fault.Invalid, "until"},
		} {
			if !fault.Is(x.err, x.code) || x.field != "" && fault.All(x.err)[0].Field != x.field {
				t.Errorf("%s: %v, want %s of %q", what, x.err, x.code, x.field)
			}
		}
	})
}

func second[T any](_ T, err error) error { return err }
