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
		for _, r := range []*Row{at[key], &out.All} {
			if err := r.count(p, rates, resales[p.Buyer]); err != nil {
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

// count adds a piece to the row.
func (r *Row) count(p Piece, rates []Rate, resales []Certificate) error {
	sales, err := p.Goods.Add(p.Postage)
	if err != nil {
		return err
	}
	a, err := Of(Sale{Country: p.Country, Region: p.Region, Day: p.Placed, Goods: p.Goods, Postage: p.Postage, Charged: p.Tax, ByOutlet: p.ByOutlet, Resales: resales}, rates)
	if err != nil {
		return err
	}
	type to struct {
		sum *money.Amount
		a   money.Amount
	}
	adds := []to{{&r.Sales, sales}}
	switch {
	case p.ByOutlet:
		adds = append(adds, to{&r.ByOutlet, sales}, to{&r.OutletTax, p.OutletTax})
	case a.Exempt != nil && p.Tax.IsZero():
		adds = append(adds, to{&r.Exempt, sales})
	case a.Rate == nil && p.Tax.IsZero():
		adds = append(adds, to{&r.NoRate, sales})
	case a.Rate != nil && a.Rate.Inside && p.Tax.IsZero():
		taxed, err := sales.Sub(a.Tax)
		if err != nil {
			return err
		}
		adds = append(adds, to{&r.Taxed, taxed}, to{&r.Tax, a.Tax}, to{&r.ByRate, a.Tax})
	default:
		adds = append(adds, to{&r.Taxed, sales}, to{&r.Tax, p.Tax}, to{&r.ByRate, a.Tax})
	}
	for _, x := range adds {
		if *x.sum, err = x.sum.Add(x.a); err != nil {
			return err
		}
	}
	r.Orders++
	return nil
}
