package feeds

import (
	"solander/bench"
	"solander/currencies"
	"solander/exchange"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// FeedOrder is an order as its outlet's feed may see it. Who is the buyer in the words of the order itself, never of the book: a
// feed does not learn whether she is known, or how other outlets write her.
type FeedOrder struct {
	order.Order
	Who     order.Buyer
	Titles  []string // of the lines: the picture, and the number as it is written on the sheet
	Labels  []string
	Parcels []studio.Parcel
	Tell    []bench.Tell // what its buyer is still to be told
	Due     money.Amount
	Paid    money.Amount
	Owed    money.Amount
	Agreed  *exchange.Owing // how it stands in another currency; nil: it is owed in the book's
	Came    []exchange.Came // its payments that came in another currency
}

func (t *Gate) feedOrder(id int64) (FeedOrder, error) {
	o, err := t.Order(id)
	if err != nil {
		return FeedOrder{}, err
	}
	return t.feedOrderOf(o)
}

func (t *Gate) feedOrderOf(o order.Order) (v FeedOrder, err error) {
	v = FeedOrder{Order: o, Due: o.Due(), Paid: o.Paid(), Owed: o.Owed()}
	v.Who = order.Buyer{Name: o.Said.Name, Email: o.Said.Email, Phone: o.Said.Phone}
	for _, l := range o.Lines {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return v, err
		}
		v.Titles, v.Labels = append(v.Titles, e.Title), append(v.Labels, l.Number.Of(e))
	}
	tell, err := t.Untold(o)
	if err != nil {
		return v, err
	}
	v.Tell = tell[0]
	if v.Parcels, err = t.Parcels(o.ID); err != nil {
		return v, err
	}
	w, agreed, err := currencies.In(t.Turn).Owing(o)
	if agreed {
		v.Agreed = &w
	}
	if err == nil && len(o.Payments) > 0 {
		v.Came, err = t.CameOf(o.ID)
	}
	return v, err
}
