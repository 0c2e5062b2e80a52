package tax

import (
	"cmp"
	"slices"

	"solander/calendar"
	"solander/money"
)

// Piece is what the journal has of one order in a span of days: what was sold less what came back, and the tax.
type Piece struct {
	Order           int64
	Country, Region string // where it went; "" = not known, as of an order that was brought in without an address
	InPerson        bool   // handed over where the studio is
	Buyer           int64
	Placed          calendar.Day
	ByOutlet        bool
	Goods           money.Amount
	Postage         money.Amount
	Tax             money.Amount // that the studio is to pay on
	OutletTax       money.Amount // that the outlet collects
}

// Row is what a return asks of one place.
type Row struct {
	Country   string       `json:"country"`
	Region    string       `json:"region,omitempty"`
	Orders    int          `json:"orders"`
	Sales     money.Amount `json:"sales"`      // goods and postage, without tax that is added
	ByOutlet  money.Amount `json:"by_outlet"`  // of them, those of which the outlet collects the tax
	OutletTax money.Amount `json:"outlet_tax"` // as far as the orders have it
	Exempt    money.Amount `json:"exempt"`     // of them, bought for resale
	NoRate    money.Amount `json:"no_rate"`    // of them, for which no rate was entered and no tax was taken
	Taxed     money.Amount `json:"taxed"`      // the rest; without tax that is inside the prices
	Tax       money.Amount `json:"tax"`        // charged on top, or inside the prices by the rate
	ByRate    money.Amount `json:"by_rate"`    // what the rates say of it
}

// Place says the place.
func (r Row) Place() string { return PlaceName(r.Country, r.Region) }

// Return is what a return asks for, by place.
type Return struct {
	From  calendar.Day `json:"from"`
	Until calendar.Day `json:"until"`
	Rows  []Row        `json:"rows"` // by country and state
	All   Row          `json:"all"`
}

// ReturnOf makes a return of pieces: a sale counts on the day on which it is entered, and what comes back on the day on which that is. Home is
// the studio's own place, where what was handed over in person was sold. Faults: Invalid when amounts do not fit.
func ReturnOf(pieces []Piece, rates []Rate, resales map[int64][]Certificate, homeCountry, homeRegion, currency string) (Return, error) {
	out := Return{All: nothing("", "", currency)}
	at := map[[2]string]*Row{}
	for _, p := range pieces {
		if p.InPerson {
			p.Country, p.Region = homeCountry, homeRegion
		}
		country, region := Place(p.Country, p.Region)
		key := [2]string{country, region}
		if at[key] == nil {
			r := nothing(country, region, currency)
			at[key] = &r
		}
		one, err := rowOf(p, rates, resales[p.Buyer], currency)
		if err != nil {
			return out, err
		}
		for _, r := range []*Row{at[key], &out.All} {
			if err := r.add(one); err != nil {
				return out, err
			}
		}
	}
	for _, r := range at {
		out.Rows = append(out.Rows, *r)
	}
	slices.SortFunc(out.Rows, func(a, b Row) int { return cmp.Or(cmp.Compare(a.Country, b.Country), cmp.Compare(a.Region, b.Region)) })
	return out, nil
}

func nothing(country, region, currency string) Row {
	n := money.Of(0, currency)
	return Row{Country: country, Region: region, Sales: n, ByOutlet: n, OutletTax: n, Exempt: n, NoRate: n, Taxed: n, Tax: n, ByRate: n}
}

// rowOf is what a return asks of one piece.
func rowOf(p Piece, rates []Rate, resales []Certificate, currency string) (Row, error) {
	r := nothing("", "", currency)
	r.Orders = 1
	sales, err := p.Goods.Add(p.Postage)
	if err != nil {
		return r, err
	}
	r.Sales = sales
	if p.ByOutlet {
		r.ByOutlet, r.OutletTax = sales, p.OutletTax
		return r, nil
	}
	a, err := Of(Sale{Country: p.Country, Region: p.Region, Day: p.Placed, Goods: p.Goods, Postage: p.Postage, Charged: p.Tax, Resales: resales}, rates)
	if err != nil {
		return r, err
	}
	switch {
	case a.Exempt != nil && p.Tax.IsZero():
		r.Exempt = sales
	case a.Rate == nil && p.Tax.IsZero():
		r.NoRate = sales
	case a.Rate != nil && a.Rate.Inside && p.Tax.IsZero():
		r.Taxed, err = sales.Sub(a.Tax)
		r.Tax, r.ByRate = a.Tax, a.Tax
	default:
		r.Taxed, r.Tax, r.ByRate = sales, p.Tax, a.Tax
	}
	return r, err
}

// amounts are all that a row adds up.
func (r *Row) amounts() [8]*money.Amount {
	return [...]*money.Amount{&r.Sales, &r.ByOutlet, &r.OutletTax, &r.Exempt, &r.NoRate, &r.Taxed, &r.Tax, &r.ByRate}
}

// add adds another row.
func (r *Row) add(x Row) (err error) {
	more := x.amounts()
	for i, sum := range r.amounts() {
		if *sum, err = sum.Add(*more[i]); err != nil {
			return err
		}
	}
	r.Orders += x.Orders
	return nil
}
