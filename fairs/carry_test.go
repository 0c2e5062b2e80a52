package fairs_test

import (
	"testing"

	"solander/calendar"
	"solander/fair"
	"solander/fairs"
	"solander/fault"
	"solander/internal/bed"
	"solander/ledger"
	"solander/order"
)

// By hand: 24.00 taken in cash and 50.00 of float are in the box; 20.00 go to the bank, then 4.00 are left to go, and the float is no takings.
func TestCashIsCarriedToTheBank(t *testing.T) {
	b := bed.New(t)
	d, err := fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Name: "Quay fair", Float: bed.USD(50_00)})
	b.Must(err)
	atTheTable(b, order.InCash)
	atTheTable(b, order.InCash)
	atTheTable(b, order.ByCard)
	carry := func(cents int64, on calendar.Day) (fair.Carry, error) {
		return fairs.Carry(b.Ctx, b.Studio, fair.Carry{FairDay: d.ID, Amount: bed.USD(cents), Day: on})
	}
	stands := func(cents, bank int64) {
		t.Helper()
		v, err := fairs.Day(b.Ctx, b.Studio, d.ID)
		b.Must(err)
		if v.Cash != bed.USD(cents) {
			t.Errorf("of the takings %s are in the box, want %d", v.Cash, cents)
		}
		if got := balance(b, ledger.Cash); got != cents {
			t.Errorf("by the journal %d are in the box, want %d", got, cents)
		}
		if got := balance(b, ledger.Bank); got != bank {
			t.Errorf("by the journal %d are in the bank, want %d", got, bank)
		}
	}
	stands(24_00, 0)
	_, err = carry(24_01, calendar.Day{})
	b.Refused(err, fault.Refused, "amount", "more than the 24.00 USD of its takings")
	_, err = carry(0, calendar.Day{})
	b.Refused(err, fault.Invalid, "amount", "")
	_, err = carry(1, d.Day.Add(-1))
	b.Refused(err, fault.Invalid, "day", "before the day at the table")
	_, err = carry(1, d.Day.Add(1))
	b.Refused(err, fault.Invalid, "day", "future")
	_, err = fairs.Carry(b.Ctx, b.Studio, fair.Carry{FairDay: 9, Amount: bed.USD(1)})
	b.Refused(err, fault.Missing, "", "")
	stands(24_00, 0)
	first, err := carry(20_00, calendar.Day{})
	b.Must(err)
	stands(4_00, 20_00)
	_, err = carry(4_01, calendar.Day{})
	b.Refused(err, fault.Refused, "amount", "4.00")
	_, err = fairs.Drop(b.Ctx, b.Studio, d.ID)
	b.Refused(err, fault.Refused, "", "carried to the bank")
	_, err = fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(74_00)}) // of that 20.00 are in the bank
	b.Refused(err, fault.Invalid, "why", "74.00 USD were counted, and 54.00 USD ought to be there")
	_, err = fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(-1_00), Why: "lost"})
	b.Refused(err, fault.Invalid, "counted", "negative")
	for range 2 { // counted again, the same is there
		v, err := fairs.Count(b.Ctx, b.Studio, fairs.CountIn{Day: d.ID, Counted: bed.USD(53_00), Why: "wrong change"})
		b.Must(err)
		if v.Off != bed.USD(-1_00) || v.Lies != bed.USD(53_00) {
			t.Errorf("off by %s, %s lie there", v.Off, v.Lies)
		}
		stands(3_00, 20_00) // a dollar is missing
	}
	_, err = fairs.CarryBack(b.Ctx, b.Studio, first.ID)
	b.Must(err)
	stands(23_00, 0)
	_, err = fairs.CarryBack(b.Ctx, b.Studio, first.ID)
	b.Refused(err, fault.Refused, "carry", "taken back already")
	b.Sound()
}
