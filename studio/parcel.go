package studio

import (
	"slices"

	"solander/dayplan"
	"solander/money"
)

// Orders of one buyer to one address may share parcels when the settings say so. The buyer is the same when the name
// is, the address when every field is, however it is spaced and whatever its capitals; nothing else is guessed.

// OrderIDs are the orders of a parcel, by id.
func (p Parcel) OrderIDs() []int64 {
	if len(p.Orders) > 0 {
		return p.Orders
	}
	return []int64{p.Order}
}

// Marks are those of its orders, ascending.
func (p Parcel) Marks() []string { return dayplan.Sharers(p.Plan) }

// With are the marks of its orders but one.
func (p Parcel) With(mark string) []string {
	return slices.DeleteFunc(slices.Clone(p.Marks()), func(m string) bool { return m == mark })
}

// Sum is all of it.
func (s Sending) Sum() money.Amount {
	return money.Of(s.Packaging.Minor+s.Work.Minor+s.Postage.Minor, s.Postage.Currency)
}

// ShareOf is what an order, named by its mark, bears of an amount that was paid for the whole parcel: by the number of its
// prints in it, rounded down; what is left goes, a minor unit each, to the largest remainders, of equal ones to the lesser
// mark. The shares of all its orders add up to the amount.
func (p Parcel) ShareOf(mark string, whole money.Amount) money.Amount {
	marks, shares := p.Plan.SharesOf(whole.Minor)
	if at := slices.Index(marks, mark); at >= 0 {
		return money.Of(shares[at], whole.Currency)
	}
	return money.Of(0, whole.Currency)
}

// HasLabel reports whether the postage paid was noted, be it nothing.
func (p Parcel) HasLabel() bool { return p.State != Packed }

// Postage is what sending the whole parcel costs: as paid, or by the card while it has no label.
func (p Parcel) Postage() money.Amount {
	if p.HasLabel() {
		return p.Paid
	}
	return p.Estimated
}

// PostageOf is what an order, named by its mark, bears of Postage.
func (p Parcel) PostageOf(mark string) money.Amount { return p.ShareOf(mark, p.Postage()) }
