package studio_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

func contains(text, part string) bool { return strings.Contains(text, part) }

func TestTakeOrderGivesNumberPriceFeeAndPromise(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.Outlet, in.Tax, in.Ref = b.market.ID, usd(4_50), "M-77"
	in.Lines = []studio.SaleLine{{Edition: b.heron.ID}, {Edition: b.heron.ID}, {Edition: b.heron.ID}, {Edition: b.card.ID}}
	v := b.take(in)

	for i, want := range []struct {
		label string
		price money.Amount
	}{{"1/5", usd(90_00)}, {"2/5", usd(90_00)}, {"3/5", usd(110_00)}, {"", usd(12_00)}} {
		if got := v.Views[i]; got.Label != want.label || got.Price != want.price {
			t.Errorf("line %d: %q for %s, want %q for %s", i, got.Label, got.Price, want.label, want.price)
		}
	}
	// 302.00 of prints and 5.00 of postage; the market collects the tax, so it is not owed to the studio.
	if v.Due != usd(307_00) || v.Owed != usd(307_00) {
		t.Errorf("due %s, owed %s, want 307.00", v.Due, v.Owed)
	}
	// 6.5 % of 307.00 is 19.955, half up 19.96, plus 0.20.
	if v.Fee != usd(20_16) {
		t.Errorf("fee %s, want 20.16", v.Fee)
	}
	// Five working days from Wednesday 4 March 2026.
	if v.Promised != calendar.Date(2026, 3, 11) || v.Stage != order.AwaitsMoney {
		t.Errorf("promised %s at stage %s", v.Promised, v.Stage)
	}
	if st := b.state(b.heron.ID, 3); st.State != edition.Promised || st.Line != v.Lines[2].ID {
		t.Errorf("number 3 stands %+v", st)
	}
	b.sound()
}

// Source: 5 U.S.C. 6103(a): Martin Luther King's birthday is the third Monday in January, 19 January 2026.
func TestPromiseSkipsFederalHoliday(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.Placed = calendar.Date(2026, 1, 14)
	if v := b.take(in); v.Promised != calendar.Date(2026, 1, 20) {
		t.Errorf("three working days after Wed 14 January 2026 are %s, want 2026-01-20", v.Promised)
	}
}

func TestPromiseIsBroughtForwardForAnArrival(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.ArriveBy = calendar.Date(2026, 3, 6)
	if v := b.take(in); v.Promised != calendar.Date(2026, 3, 5) {
		t.Errorf("promised %s, want the day before it must arrive", v.Promised)
	}
}

func TestSaleThatIsWrong(t *testing.T) {
	b := newBed(t)
	first := b.sale()
	first.Ref = "A-1"
	b.take(first)
	for _, c := range []struct {
		name   string
		change func(*studio.Sale)
		code   fault.Code
		field  string
		says   string
	}{
		{"no outlet", func(s *studio.Sale) { s.Outlet = 0 }, fault.Invalid, "outlet", ""},
		{"unknown outlet", func(s *studio.Sale) { s.Outlet = 99 }, fault.Missing, "outlet", ""},
		{"no print", func(s *studio.Sale) { s.Lines = nil }, fault.Invalid, "lines", "at least one"},
		{"too many prints", func(s *studio.Sale) { s.Lines = make([]studio.SaleLine, 201) }, fault.Invalid, "lines", ""},
		{"unknown edition", func(s *studio.Sale) { s.Lines[0].Edition = 99 }, fault.Missing, "lines[0].edition", ""},
		{"number beyond the limit", func(s *studio.Sale) { s.Lines[0].Number = "6" }, fault.Invalid, "lines[0].number", "beyond the limit"},
		{"another denominator", func(s *studio.Sale) { s.Lines[0].Number = "1/250" }, fault.Invalid, "lines[0].number", "of 5"},
		{"no such proof", func(s *studio.Sale) { s.Lines[0].Number = "HC" }, fault.Invalid, "lines[0].number", ""},
		{"number of an open edition", func(s *studio.Sale) { s.Lines[0] = studio.SaleLine{Edition: b.card.ID, Number: "3"} }, fault.Invalid, "lines[0].number", ""},
		{"number held", func(s *studio.Sale) { s.Lines[0].Number = "1" }, fault.Taken, "lines[0].number", "S-1001 has it"},
		{"number twice in one order", func(s *studio.Sale) {
			s.Lines = []studio.SaleLine{{Edition: b.heron.ID, Number: "4"}, {Edition: b.heron.ID, Number: "4"}}
		}, fault.Taken, "lines[1].number", ""},
		{"negative price", func(s *studio.Sale) { s.Lines[0].Price = ptr(usd(-1)) }, fault.Invalid, "lines[0].price", ""},
		{"other currency", func(s *studio.Sale) { s.Postage = money.Of(500, "EUR") }, fault.Invalid, "postage", "EUR"},
		{"absurd tax", func(s *studio.Sale) { s.Tax = usd(money.MaxMinor + 1) }, fault.Invalid, "tax", ""},
		{"reference known", func(s *studio.Sale) { s.Ref = "A-1" }, fault.Taken, "ref", "S-1001"},
		{"placed tomorrow", func(s *studio.Sale) { s.Placed = calendar.Date(2026, 3, 5) }, fault.Invalid, "placed", "future"},
		{"placed long ago", func(s *studio.Sale) { s.Placed = calendar.Date(1999, 3, 5) }, fault.Invalid, "placed", ""},
		{"promised in the past", func(s *studio.Sale) { s.Promised = calendar.Date(2026, 3, 3) }, fault.Invalid, "promised", "before the day"},
		{"promised in years", func(s *studio.Sale) { s.Promised = calendar.Date(2030, 3, 3) }, fault.Invalid, "promised", ""},
		{"arrives in the past", func(s *studio.Sale) { s.ArriveBy = calendar.Date(2026, 3, 1) }, fault.Invalid, "arrive_by", ""},
		{"arrives before hand-over", func(s *studio.Sale) {
			s.Promised, s.ArriveBy = calendar.Date(2026, 3, 10), calendar.Date(2026, 3, 9)
		}, fault.Invalid, "arrive_by", ""},
		{"no buyer", func(s *studio.Sale) { s.Buyer = order.Buyer{} }, fault.Invalid, "buyer", ""},
		{"unknown buyer", func(s *studio.Sale) { s.Buyer = order.Buyer{ID: 99} }, fault.Missing, "buyer", ""},
		{"e-mail", func(s *studio.Sale) { s.Buyer.Email = "ada" }, fault.Invalid, "email", ""},
		{"no postcode", func(s *studio.Sale) { s.ShipTo.Postcode = "" }, fault.Invalid, "ship_to.postcode", "missing"},
		{"country", func(s *studio.Sale) { s.ShipTo.Country = "QQ" }, fault.Invalid, "ship_to.country", ""},
		{"broken UTF-8", func(s *studio.Sale) { s.Note = "\xff" }, fault.Invalid, "note", ""},
		{"a book as a note", func(s *studio.Sale) { s.GiftMessage = strings.Repeat("x", 10<<20) }, fault.Invalid, "gift_message", ""},
		{"paid too much", func(s *studio.Sale) { s.Paid = usd(95_01) }, fault.Refused, "paid", "95.00"},
		{"same number in an open edition", func(s *studio.Sale) {
			s.SameNumber, s.Lines = true, []studio.SaleLine{{Edition: b.heron.ID}, {Edition: b.card.ID}}
		}, fault.Invalid, "lines[1].edition", ""},
		{"same number twice in one edition", func(s *studio.Sale) {
			s.SameNumber, s.Lines = true, []studio.SaleLine{{Edition: b.heron.ID}, {Edition: b.heron.ID}}
		}, fault.Invalid, "lines[1].edition", ""},
		{"two same numbers", func(s *studio.Sale) {
			s.SameNumber, s.Lines = true, []studio.SaleLine{{Edition: b.heron.ID, Number: "2"}, {Edition: b.reeds.ID, Number: "3"}}
		}, fault.Invalid, "lines[1].number", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := *b
			b.TB = t
			in := b.sale()
			c.change(&in)
			_, err := b.TakeOrder(b.ctx, in)
			b.refused(err, c.code, c.field, c.says)
		})
	}
	page, err := b.Orders(b.ctx, studio.OrderQuery{}, "")
	b.must(err)
	if len(page.Rows) != 1 {
		t.Errorf("%d orders in the book, want the first one alone: nothing of a refused sale may be kept", len(page.Rows))
	}
	buyers, err := b.Find(b.ctx, "Ada")
	b.must(err)
	if len(buyers.Buyers) != 1 {
		t.Errorf("%d buyers, want 1", len(buyers.Buyers))
	}
	b.sound()
}

func TestProofsGoByAsking(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.Lines = []studio.SaleLine{{Edition: b.heron.ID, Number: "AP 2"}, {Edition: b.heron.ID, Number: "AP"}, {Edition: b.heron.ID, Number: "pp"}, {Edition: b.heron.ID}}
	v := b.take(in)
	for i, want := range []string{"AP 2/2", "AP 1/2", "PP 1/1", "1/5"} {
		if v.Views[i].Label != want {
			t.Errorf("line %d is %q, want %q", i, v.Views[i].Label, want)
		}
	}
	in = b.sale()
	in.Lines[0].Number = "AP"
	_, err := b.TakeOrder(b.ctx, in)
	b.refused(err, fault.Refused, "lines[0].number", "none of the 2 is left")
}

func TestSameNumberAcrossEditions(t *testing.T) {
	b := newBed(t)
	b.take(b.sale()) // heron 1
	in := b.sale()
	in.SameNumber, in.Lines = true, []studio.SaleLine{{Edition: b.heron.ID}, {Edition: b.reeds.ID}}
	v := b.take(in)
	if v.Views[0].Label != "2/5" || v.Views[1].Label != "2/3" {
		t.Errorf("got %s and %s, want 2 in both", v.Views[0].Label, v.Views[1].Label)
	}
	in.Lines[1].Number = "3"
	v = b.take(in)
	if v.Views[0].Label != "3/5" || v.Views[1].Label != "3/3" {
		t.Errorf("got %s and %s, want 3 in both", v.Views[0].Label, v.Views[1].Label)
	}
	in.Lines[1].Number = "" // reeds has 1 left, heron has 4 and 5
	_, err := b.TakeOrder(b.ctx, in)
	b.refused(err, fault.Refused, "lines[0].number", "all of these")
}

func TestSoldOutAndClosed(t *testing.T) {
	b := newBed(t)
	in := b.sale()
	in.Lines = []studio.SaleLine{{Edition: b.reeds.ID}, {Edition: b.reeds.ID}, {Edition: b.reeds.ID}}
	b.take(in)
	in.Lines = in.Lines[:1]
	_, err := b.TakeOrder(b.ctx, in)
	b.refused(err, fault.Refused, "lines[0].number", "none of the 3 is left: 3 promised")

	b.must(b.CloseEdition(b.ctx, b.heron.ID))
	_, err = b.TakeOrder(b.ctx, b.sale())
	b.refused(err, fault.Refused, "lines[0].edition", "closed")
	b.refused(b.CloseEdition(b.ctx, b.heron.ID), fault.Refused, "", "closed already")
}

func TestCancelledContextWritesNothing(t *testing.T) {
	b := newBed(t)
	ctx, cancel := context.WithCancel(b.ctx)
	cancel()
	if _, err := b.TakeOrder(ctx, b.sale()); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if _, err := b.Bench(ctx, calendar.Day{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if st := b.state(b.heron.ID, 1); st.State != edition.Free {
		t.Errorf("number 1 is %s", st.State)
	}
}

// Never a number twice: many takers at once get each number once, and the rest are told that none is left.
func TestManyTakersAtOnce(t *testing.T) {
	b := newBed(t)
	e := heron()
	e.Limit, e.Steps = 20, nil
	big := b.declare("Flood", e)
	const takers = 32
	var wg sync.WaitGroup
	got := make(chan string, takers)
	for range takers {
		wg.Go(func() {
			in := b.sale()
			in.Lines[0].Edition = big.ID
			v, err := b.TakeOrder(b.ctx, in)
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
	b.sound()
}
