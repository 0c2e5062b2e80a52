package order

import (
	"slices"

	"solander/calendar"
	"solander/money"
)

// Short is Due less Paid: what came in too little, or below nothing what came in too much.
func (o Order) Short() money.Amount { return plus(o.Due(), o.Paid().Neg()) }

// refunded is what was paid back in all.
func (o Order) refunded() money.Amount {
	t := money.Of(0, o.Postage.Currency)
	for _, p := range o.Payments {
		if p.refunds() {
			t = plus(t, p.Amount)
		}
	}
	return t
}

// refunds reports whether money went back by it.
func (p Payment) refunds() bool { return p.Kind == Refund && !p.Reversed }

// Given is what nobody asks for (again) of what is due: credit notes took it off, or the order went and it was paid back for good. What was paid
// back of an open order without a credit note is owed again before it leaves.
func (o Order) Given() money.Amount {
	short, refunded := o.Short(), o.refunded().Minor
	if o.State == Open {
		refunded = 0
	}
	return money.Of(GivenOf(short.Minor, refunded, o.Credited().Minor), short.Currency)
}

// GivenOf is how much of what came in too little is not asked for: as much as was paid back for good, or taken off by credit notes, whichever is
// more, for a credit note also tells of what was paid back. In minor units. It is the one rule of the order, of the currency in which it was
// agreed, and of the journal.
func GivenOf(short, refunded, credited int64) int64 {
	return max(0, min(short, max(refunded, credited)))
}

// GivenInWords says why that is not asked for: a credit note took it off, it was paid back, or both.
func GivenInWords(given, credited money.Amount) string {
	switch {
	case credited.Sign() <= 0:
		return "paid back for good"
	case given.Minor <= credited.Minor:
		return "taken off by credit note"
	}
	return "paid back for good or taken off by credit note"
}

// GivenAmong says how much of each payment was paid back for good, when so much was in all: the latest refunds were. By the places of the payments,
// in minor units of the currency of which each is.
func GivenAmong(given int64, payments []Payment, is func(Payment) int64) []int64 {
	out, by := make([]int64, len(payments)), make([]int, len(payments))
	for i := range by {
		by[i] = i
	}
	slices.SortStableFunc(by, func(a, b int) int { return payments[a].Day.Sub(payments[b].Day) })
	for _, i := range slices.Backward(by) {
		if payments[i].refunds() {
			out[i] = max(0, min(given, is(payments[i])))
			given -= out[i]
		}
	}
	return out
}

// InMinor is the amount of a payment in minor units.
func (p Payment) InMinor() int64 { return p.Amount.Minor }

// Owed is Short less what was given: positive when the buyer still owes, negative when the studio owes a refund.
func (o Order) Owed() money.Amount { return plus(o.Short(), o.Given().Neg()) }

// PaidOn is the day on which a payment brought what had come, less what had gone back until then, to what is asked for of the order as it stands; of
// several such days the last. No day when none did.
func (o Order) PaidOn() calendar.Day {
	asked, came := plus(o.Due(), o.Credited().Neg()).Minor, int64(0)
	byDay := slices.Clone(o.Payments)
	slices.SortStableFunc(byDay, func(a, b Payment) int { return a.Day.Sub(b.Day) })
	var on calendar.Day
	for _, p := range byDay {
		switch {
		case p.Reversed:
		case p.refunds():
			came -= p.Amount.Minor
		default:
			if came < asked && came+p.Amount.Minor >= asked {
				on = p.Day
			}
			came += p.Amount.Minor
		}
	}
	return on
}

// OwedAs says which way an amount that is owed goes, and how much of it: what is less than nothing is to be paid back.
func OwedAs(owed money.Amount) (what string, much money.Amount) {
	if owed.Sign() < 0 {
		return "to be paid back", owed.Neg()
	}
	return "still owed", owed
}

// OwedInWords says it as "5.00 USD still owed", as "5.00 USD to be paid back", or as "settled".
func OwedInWords(owed money.Amount) string {
	if owed.IsZero() {
		return "settled"
	}
	what, much := OwedAs(owed)
	return much.String() + " " + what
}
