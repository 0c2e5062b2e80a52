package book_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
)

func TestTakeOrderGivesNumberPriceFeeAndPromise(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Outlet, in.Tax, in.Ref = b.Market.ID, bed.USD(4_50), "M-77"
	in.Lines = []book.SaleLine{{Edition: b.Heron.ID}, {Edition: b.Heron.ID}, {Edition: b.Heron.ID}, {Edition: b.Card.ID}}
	v := b.Take(in)

	for i, want := range []struct {
		label string
		price money.Amount
	}{{"1/5", bed.USD(90_00)}, {"2/5", bed.USD(90_00)}, {"3/5", bed.USD(110_00)}, {"", bed.USD(12_00)}} {
		if got := v.Views[i]; got.Label != want.label || got.Price != want.price {
			t.Errorf("line %d: %q for %s, want %q for %s", i, got.Label, got.Price, want.label, want.price)
		}
	}
	// 302.00 of prints and 5.00 of postage; the market collects the tax, so it is not owed to the studio.
	if v.Due != bed.USD(307_00) || v.Owed != bed.USD(307_00) {
		t.Errorf("due %s, owed %s, want 307.00", v.Due, v.Owed)
	}
	// 6.5 % of 307.00 is 19.955, half up 19.96, plus 0.20.
	if v.Fee != bed.USD(20_16) {
		t.Errorf("fee %s, want 20.16", v.Fee)
	}
	// Five working days from Wednesday 4 March 2026.
	if v.Promised != calendar.Date(2026, 3, 11) || v.Stage != order.AwaitsMoney {
		t.Errorf("promised %s at stage %s", v.Promised, v.Stage)
	}
	if st := b.State(b.Heron.ID, 3); st.State != edition.Promised || st.Line != v.Lines[2].ID {
		t.Errorf("number 3 stands %+v", st)
	}
	b.Sound()
}

// Source: 5 U.S.C. 6103(a): Martin Luther King's birthday is the third Monday in January, 19 January 2026.
func TestPromiseSkipsFederalHoliday(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Placed = calendar.Date(2026, 1, 14)
	if v := b.Take(in); v.Promised != calendar.Date(2026, 1, 20) {
		t.Errorf("three working days after Wed 14 January 2026 are %s, want 2026-01-20", v.Promised)
	}
}

func TestPromiseIsBroughtForwardForAnArrival(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.ArriveBy = calendar.Date(2026, 3, 6)
	if v := b.Take(in); v.Promised != calendar.Date(2026, 3, 5) {
		t.Errorf("promised %s, want the day before it must arrive", v.Promised)
	}
}

func TestSaleThatIsWrong(t *testing.T) {
	b := bed.New(t)
	first := b.Sale()
	first.Ref = "A-1"
	b.Take(first)
	for _, c := range []struct {
		name   string
		change func(*book.Sale)
		code   fault.Code
		field  string
		says   string
	}{
		{"no outlet", func(s *book.Sale) { s.Outlet = 0 }, fault.Invalid, "outlet", ""},
		{"unknown outlet", func(s *book.Sale) { s.Outlet = 99 }, fault.Missing, "outlet", ""},
		{"no print", func(s *book.Sale) { s.Lines = nil }, fault.Invalid, "lines", "at least one"},
		{"too many prints", func(s *book.Sale) { s.Lines = make([]book.SaleLine, 201) }, fault.Invalid, "lines", ""},
		{"unknown edition", func(s *book.Sale) { s.Lines[0].Edition = 99 }, fault.Missing, "lines[0].edition", ""},
		{"number beyond the limit", func(s *book.Sale) { s.Lines[0].Number = "6" }, fault.Invalid, "lines[0].number", "beyond the limit"},
		{"another denominator", func(s *book.Sale) { s.Lines[0].Number = "1/250" }, fault.Invalid, "lines[0].number", "of 5"},
		{"no such proof", func(s *book.Sale) { s.Lines[0].Number = "HC" }, fault.Invalid, "lines[0].number", ""},
		{"number of an open edition", func(s *book.Sale) { s.Lines[0] = book.SaleLine{Edition: b.Card.ID, Number: "3"} }, fault.Invalid, "lines[0].number", ""},
		{"number held", func(s *book.Sale) { s.Lines[0].Number = "1" }, fault.Taken, "lines[0].number", "S-1001 has it"},
		{"number twice in one order", func(s *book.Sale) {
			s.Lines = []book.SaleLine{{Edition: b.Heron.ID, Number: "4"}, {Edition: b.Heron.ID, Number: "4"}}
		}, fault.Taken, "lines[1].number", ""},
		{"negative price", func(s *book.Sale) { s.Lines[0].Price = bed.Ptr(bed.USD(-1)) }, fault.Invalid, "lines[0].price", ""},
		{"other currency", func(s *book.Sale) { s.Postage = money.Of(500, "EUR") }, fault.Invalid, "postage", "EUR"},
		{"absurd tax", func(s *book.Sale) { s.Tax = bed.USD(money.MaxMinor + 1) }, fault.Invalid, "tax", ""},
		{"reference known", func(s *book.Sale) { s.Ref = "A-1" }, fault.Taken, "ref", "S-1001"},
		{"placed tomorrow", func(s *book.Sale) { s.Placed = calendar.Date(2026, 3, 5) }, fault.Invalid, "placed", "future"},
		{"placed long ago", func(s *book.Sale) { s.Placed = calendar.Date(1999, 3, 5) }, fault.Invalid, "placed", ""},
		{"promised in the past", func(s *book.Sale) { s.Promised = calendar.Date(2026, 3, 3) }, fault.Invalid, "promised", "before the day"},
		{"promised in years", func(s *book.Sale) { s.Promised = calendar.Date(2030, 3, 3) }, fault.Invalid, "promised", ""},
		{"arrives in the past", func(s *book.Sale) { s.ArriveBy = calendar.Date(2026, 3, 1) }, fault.Invalid, "arrive_by", ""},
		{"arrives before hand-over", func(s *book.Sale) {
			s.Promised, s.ArriveBy = calendar.Date(2026, 3, 10), calendar.Date(2026, 3, 9)
		}, fault.Invalid, "arrive_by", ""},
		{"no buyer", func(s *book.Sale) { s.Buyer = order.Buyer{} }, fault.Invalid, "buyer", ""},
		{"unknown buyer", func(s *book.Sale) { s.Buyer = order.Buyer{ID: 99} }, fault.Missing, "buyer", ""},
		{"e-mail", func(s *book.Sale) { s.Buyer.Email = "ada" }, fault.Invalid, "email", ""},
		{"no postcode", func(s *book.Sale) { s.ShipTo.Postcode = "" }, fault.Invalid, "ship_to.postcode", "missing"},
		{"country", func(s *book.Sale) { s.ShipTo.Country = "QQ" }, fault.Invalid, "ship_to.country", ""},
		{"broken UTF-8", func(s *book.Sale) { s.Note = "\xff" }, fault.Invalid, "note", ""},
		{"a book as a note", func(s *book.Sale) { s.GiftMessage = strings.Repeat("x", 10<<20) }, fault.Invalid, "gift_message", ""},
		{"paid too much", func(s *book.Sale) { s.Paid = bed.USD(95_01) }, fault.Refused, "paid", "95.00"},
		{"same number in an open edition", func(s *book.Sale) {
			s.SameNumber, s.Lines = true, []book.SaleLine{{Edition: b.Heron.ID}, {Edition: b.Card.ID}}
		}, fault.Invalid, "lines[1].edition", ""},
		{"same number twice in one edition", func(s *book.Sale) {
			s.SameNumber, s.Lines = true, []book.SaleLine{{Edition: b.Heron.ID}, {Edition: b.Heron.ID}}
		}, fault.Invalid, "lines[1].edition", ""},
		{"two same numbers", func(s *book.Sale) {
			s.SameNumber, s.Lines = true, []book.SaleLine{{Edition: b.Heron.ID, Number: "2"}, {Edition: b.Reeds.ID, Number: "3"}}
		}, fault.Invalid, "lines[1].number", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := *b
			b.TB = t
			in := b.Sale()
			c.change(&in)
			_, err := book.TakeOrder(b.Ctx, b.Studio, in)
			b.Refused(err, c.code, c.field, c.says)
		})
	}
	page, err := book.Orders(b.Ctx, b.Studio, studio.OrderQuery{}, "")
	b.Must(err)
	if len(page.Rows) != 1 {
		t.Errorf("%d orders in the book, want the first one alone: nothing of a refused sale may be kept", len(page.Rows))
	}
	buyers, err := book.Find(b.Ctx, b.Studio, "Ada")
	b.Must(err)
	if len(buyers.Buyers) != 1 {
		t.Errorf("%d buyers, want 1", len(buyers.Buyers))
	}
	b.Sound()
}

func TestProofsGoByAsking(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Lines = []book.SaleLine{{Edition: b.Heron.ID, Number: "AP 2"}, {Edition: b.Heron.ID, Number: "AP"}, {Edition: b.Heron.ID, Number: "pp"}, {Edition: b.Heron.ID}}
	v := b.Take(in)
	for i, want := range []string{"AP 2/2", "AP 1/2", "PP 1/1", "1/5"} {
		if v.Views[i].Label != want {
			t.Errorf("line %d is %q, want %q", i, v.Views[i].Label, want)
		}
	}
	in = b.Sale()
	in.Lines[0].Number = "AP"
	_, err := book.TakeOrder(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Refused, "lines[0].number", "none of the 2 is left")
}

func TestSameNumberAcrossEditions(t *testing.T) {
	b := bed.New(t)
	b.Take(b.Sale()) // heron 1
	in := b.Sale()
	in.SameNumber, in.Lines = true, []book.SaleLine{{Edition: b.Heron.ID}, {Edition: b.Reeds.ID}}
	v := b.Take(in)
	if v.Views[0].Label != "2/5" || v.Views[1].Label != "2/3" {
		t.Errorf("got %s and %s, want 2 in both", v.Views[0].Label, v.Views[1].Label)
	}
	in.Lines[1].Number = "3"
	v = b.Take(in)
	if v.Views[0].Label != "3/5" || v.Views[1].Label != "3/3" {
		t.Errorf("got %s and %s, want 3 in both", v.Views[0].Label, v.Views[1].Label)
	}
	in.Lines[1].Number = "" // reeds has 1 left, heron has 4 and 5
	_, err := book.TakeOrder(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Refused, "lines[0].number", "all of these")
}

func TestSoldOutAndClosed(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.Lines = []book.SaleLine{{Edition: b.Reeds.ID}, {Edition: b.Reeds.ID}, {Edition: b.Reeds.ID}}
	b.Take(in)
	in.Lines = in.Lines[:1]
	_, err := book.TakeOrder(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Refused, "lines[0].number", "none of the 3 is left: 3 promised")

	_, err = register.Close(b.Ctx, b.Studio, edition.Closing{Edition: b.Heron.ID, Fact: edition.Closed, Files: "deleted"})
	b.Must(err)
	_, err = book.TakeOrder(b.Ctx, b.Studio, b.Sale())
	b.Refused(err, fault.Refused, "lines[0].edition", "closed")
	_, err = register.Close(b.Ctx, b.Studio, edition.Closing{Edition: b.Heron.ID, Fact: edition.Closed, Files: "deleted"})
	b.Refused(err, fault.Refused, "", "closed already")
}

func TestCancelledContextWritesNothing(t *testing.T) {
	b := bed.New(t)
	ctx, cancel := context.WithCancel(b.Ctx)
	cancel()
	if _, err := book.TakeOrder(ctx, b.Studio, b.Sale()); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if _, err := daybench.List(ctx, b.Studio, calendar.Day{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if st := b.State(b.Heron.ID, 1); st.State != edition.Free {
		t.Errorf("number 1 is %s", st.State)
	}
}

// Never a number twice: many takers at once get each number once, and the rest are told that none is left.
func TestManyTakersAtOnce(t *testing.T) {
	b := bed.New(t)
	e := bed.Heron()
	e.Limit, e.Steps = 20, nil
	big := b.Declare("Flood", e)
	const takers = 32
	var wg sync.WaitGroup
	got := make(chan string, takers)
	for range takers {
		wg.Go(func() {
			in := b.Sale()
			in.Lines[0].Edition = big.ID
			v, err := book.TakeOrder(b.Ctx, b.Studio, in)
			switch {
			case err == nil:
				got <- v.Views[0].Label
			case !fault.Is(err, fault.Refused):
				t.Errorf("taker: %v", err)
			}
		})
	}
	wg.Wait()
	close(got)
	seen := map[string]bool{}
	for n := range got {
		if seen[n] {
			t.Errorf("number %s was given twice", n)
		}
		seen[n] = true
	}
	if len(seen) != 20 {
		t.Errorf("%d of 20 numbers were given to %d takers", len(seen), takers)
	}
	b.Sound()
}
