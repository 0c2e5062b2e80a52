package exchange

import (
	"slices"

	"solander/fault"
	"solander/money"
	"solander/order"
)

// Received is how much of a currency the standing payments of an order brought, less what was paid back of it.
func Received(o order.Order, came []Came, currency string) money.Amount {
	in, back := moved(o, came, currency)
	return money.Of(in-back, currency)
}

// moved is how much of a currency the standing payments of an order brought, and how much was paid back; in minor units.
func moved(o order.Order, came []Came, currency string) (in, back int64) {
	for _, c := range came {
		i := slices.IndexFunc(o.Payments, func(p order.Payment) bool { return p.ID == c.Payment })
		if i < 0 || o.Payments[i].Reversed || c.Amount.Currency != currency {
			continue
		}
		if o.Payments[i].Kind == order.Refund {
			back += c.Amount.Minor
		} else {
			in += c.Amount.Minor
		}
	}
	return in, back
}

// Owing is how an order stands in the currency that was agreed of it.
type Owing struct {
	Agreed Agreed
	Came   []Came       // its payments as they came
	Paid   money.Amount // in the currency agreed
	Owed   money.Amount // in the currency agreed; below nothing: it is to be paid back
	Given  money.Amount // in the currency agreed: what is not asked for, see order.Order.Given
	// Credited is what credit notes took off, in the currency agreed; it is part of Given.
	Credited money.Amount
	// Changed says that the order was changed since, so that nobody knows what its total is in that currency: it has to be agreed anew.
	Changed bool
}

// Of says how an order stands by what was agreed last of it; ok is false when it is owed in the book's currency.
func Of(o order.Order, a Agreed, came []Came) (w Owing, ok bool) {
	if !a.Stands() {
		return w, false
	}
	cur := a.Total.Currency
	w = Owing{Agreed: a, Came: slices.DeleteFunc(slices.Clone(came), func(c Came) bool { return c.Order != o.ID })}
	in, back := moved(o, came, cur)
	w.Paid = money.Of(in-back, cur)
	w.Owed, w.Given, w.Credited = money.Of(a.Total.Minor-w.Paid.Minor, cur), money.Of(0, cur), money.Of(0, cur)
	if o.State == order.Cancelled || o.State == order.Returned {
		w.Owed = w.Paid.Neg()
	} else {
		if w.Changed = o.Due() != a.Book; w.Changed && o.Owed().Sign() <= 0 {
			w.Owed = w.Back(o).Neg() // nothing more is to be paid: what its total is now does not matter
		} else {
			w.Credited.Minor = w.credited(o, back)
			if o.State == order.Open {
				back = 0
			}
			w.Given.Minor = order.GivenOf(w.Owed.Minor, back, w.Credited.Minor)
			w.Owed.Minor -= w.Given.Minor
		}
	}
	return w, true
}

// credited is what credit notes took off, in minor units of the currency agreed: as they say it, or its share when they are in another.
func (w Owing) credited(o order.Order, back int64) int64 {
	if c, ok := o.Credit.In(w.Agreed.Total.Currency); ok {
		return c.Off(w.Agreed.Total.Minor, back)
	}
	off, err := Share(o.Credited(), o.Due(), w.Agreed.Total)
	if err != nil { // nothing, or too little to be counted
		return 0
	}
	return off.Minor
}

// Whole refuses an order that was changed since it was agreed. Faults: Refused.
func (w Owing) Whole(o order.Order) error {
	if !w.Changed {
		return nil
	}
	return fault.New(fault.Refused, "the order was changed since it was agreed as %s: it came to %s then, and comes to %s now", w.Agreed.Total, w.Agreed.Book, o.Due()).
		At("%s", o.Mark).ToMend("agree its total anew first")
}

// Back is what is to be paid back of an order, in the currency agreed: the share of what came that it is owed no more. Nothing, when it owes.
func (w Owing) Back(o order.Order) money.Amount {
	none := money.Of(0, w.Paid.Currency)
	if o.Owed().Sign() >= 0 {
		return none
	}
	back, err := Share(o.Owed().Neg(), o.Paid(), w.Paid)
	if err != nil { // too little to be counted
		return none
	}
	return back
}

// Settles is what of an order, in the book's currency, a payment in the currency agreed settles, or a refund gives up.
// Faults: Refused for more than is left, or too little to be counted, or when the order was changed since it was agreed.
func (w Owing) Settles(o order.Order, amount money.Amount, refund bool) (money.Amount, error) {
	left, worth := w.Owed, o.Owed()
	if refund && amount.Sign() > 0 && amount == w.Back(o) {
		return o.Owed().Neg(), nil // all of it, to the last minor unit
	}
	if refund {
		left, worth = w.Paid, o.Paid()
	} else if err := w.Whole(o); err != nil {
		return money.Amount{}, err
	}
	if !refund && amount.Minor > left.Minor { // what was given may come again
		left.Minor, worth = left.Minor+w.Given.Minor, o.Short()
	}
	got, err := Share(amount, left, worth)
	return got, fault.Placed(err, o.Mark)
}

// Part is one figure of an order in both currencies.
type Part struct {
	What string       `json:"what"`
	Book money.Amount `json:"book"`
	Is   money.Amount `json:"is"`
}

// Parts shares the agreed total out among the figures of an order, exactly.
func (w Owing) Parts(o order.Order) []Part {
	parts := []Part{{What: "prints", Book: o.Goods()}, {What: "postage", Book: o.Postage}}
	if !o.TaxByOutlet && !o.Tax.IsZero() {
		parts = append(parts, Part{What: "tax", Book: o.Tax})
	}
	weights := make([]int64, len(parts))
	for i, p := range parts {
		weights[i] = p.Book.Minor
	}
	for i, n := range money.Shares(w.Agreed.Total.Minor, weights) {
		parts[i].Is = money.Of(n, w.Agreed.Total.Currency)
	}
	return parts
}
