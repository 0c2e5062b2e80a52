package invoice

import (
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Rate is that the amounts of a paper are in another currency than the book's: what was agreed of the whole sale, and for what. Its tax lines say
// what they are in the book's currency, too: the tax that is payable has to be told in the currency of the country.
// Source: Council Directive 2006/112/EC, article 230, from memory: "The amounts which appear on the invoice may be expressed in any currency, provided
// that the amount of VAT payable or to be adjusted is expressed in the national currency of the Member State". By which rate, article 91 and
// local rules say: ask an adviser.
type Rate struct {
	Total money.Amount `json:"total"`
	Book  money.Amount `json:"book"`
	Words string       `json:"rate,omitempty"` // the rate with its day and its source; "": the sum itself was agreed
	Day   calendar.Day `json:"day"`            // of the agreement
}

// Agreed is a sale as it is owed in another currency.
type Agreed struct {
	Rate
	Came map[int64]money.Amount // each payment that stands, as it came, by its id
}

// In is the sale in the currency in which it is owed: its prints, postage and tax share what was agreed, exactly, and its payments are as they came.
// Faults: Refused when a payment did not come in that currency; Invalid for amounts that are too large.
func (s Sale) In(a Agreed) (Sale, error) {
	o := s.Order
	whole, cur := o.Due(), a.Total.Currency
	weights := []int64{o.Postage.Minor, 0}
	if !o.TaxByOutlet {
		weights[1] = o.Tax.Minor
	}
	live := o.Live()
	for _, l := range live {
		weights = append(weights, l.Price.Minor)
	}
	shares := money.Shares(a.Total.Minor, weights)
	was := o
	o.Postage, o.Tax = money.Of(shares[0], cur), money.Of(shares[1], cur)
	o.Lines = slices.Clone(live)
	s.Lines = slices.Clone(s.Lines)
	for i := range o.Lines {
		o.Lines[i].Price = money.Of(shares[i+2], cur)
		s.Lines[i].Amount = o.Lines[i].Price
	}
	o.Payments = slices.DeleteFunc(slices.Clone(o.Payments), func(p order.Payment) bool { return p.Reversed })
	for i, p := range o.Payments {
		came, ok := a.Came[p.ID]
		if !ok || came.Currency != cur {
			return s, fault.New(fault.Refused, "%s of %s did not come in %s", p.Amount, p.Day, cur).ToMend("undo that payment first")
		}
		o.Payments[i].Amount = came
	}
	s.Order, s.Rate = o, &a.Rate
	var err error
	s.Taxes, err = abroad(s.Taxes, was, o, whole, a.Total)
	return s, err
}

// abroad are the tax lines of a sale in another currency, each with what it is in the book's.
func abroad(taxes []Tax, was, is order.Order, whole, total money.Amount) ([]Tax, error) {
	in := func(x money.Amount) (money.Amount, error) {
		return money.Of(x.Minor, total.Currency).Share(total.Minor, whole.Minor)
	}
	var out []Tax
	for _, x := range taxes {
		y := Tax{Text: x.Text, Inside: x.Inside, Book: &x.Amount}
		var err error
		switch {
		case x.Inside:
			if y.Amount, err = in(x.Amount); err == nil {
				y.Base, err = in(x.Base)
			}
			if x.Base.Minor+x.Amount.Minor == whole.Minor {
				y.Base = money.Of(total.Minor-y.Amount.Minor, total.Currency)
			}
		default:
			y.Amount = is.Tax
			y.Base, err = in(x.Base)
			if x.Base.Minor == was.Goods().Minor+was.Postage.Minor {
				y.Base = money.Of(total.Minor-is.Tax.Minor, total.Currency)
			}
		}
		if err != nil {
			return nil, err
		}
		out = append(out, y)
	}
	return out, nil
}
