// Package tax knows taxes on sales: dated rates by country and state, which somebody entered and none of which it knows by itself; what a rate
// takes of a sale, inside its prices or added to them; resale certificates, by which a sale bears none; and what a return asks for, by
// state and span of days. Rates are in millionths. It is no tax advice: which rate applies, and to what, local rules decide; ask an adviser.
package tax

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"solander/address"
	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Rate is a rate of tax in a country, or in one of its states, from a day on.
type Rate struct {
	ID      int64        `json:"id"`
	Country string       `json:"country"`
	Region  string       `json:"region,omitempty"` // "" = the whole country
	From    calendar.Day `json:"from"`
	Rate    int64        `json:"rate"`              // in millionths: 62500 = 6.25 %; 0 = there is no tax
	Postage bool         `json:"postage,omitempty"` // postage is taxed, too
	Inside  bool         `json:"inside,omitempty"`  // prices hold it already; else it is added
	Name    string       `json:"name"`              // "Sales tax"
	Source  string       `json:"source,omitempty"`  // where she has it from
}

const whole = 1_000_000

// Tidy trims what people type around, and writes a state by its key.
func (r Rate) Tidy() Rate {
	r.Country, r.Region = Place(r.Country, r.Region)
	r.Name, r.Source = strings.TrimSpace(r.Name), strings.TrimSpace(r.Source)
	if r.Name == "" {
		r.Name = "Tax"
	}
	return r
}

// Place is a country by its code and a state by its key, where it is known; else in capitals.
func Place(country, region string) (string, string) {
	if code, ok := order.CountryNamed(strings.TrimSpace(country)); ok {
		country = code
	}
	region = strings.TrimSpace(region)
	if p, ok := address.PartOf(country, region); ok {
		return country, p.Key
	}
	return country, strings.ToUpper(region)
}

// PlaceName says a place: "OH, US".
func PlaceName(country, region string) string {
	switch {
	case country == "":
		return "an unknown address"
	case region == "":
		return country
	}
	return region + ", " + country
}

// Validate looks at a rate alone. Faults: Invalid.
func (r Rate) Validate() error {
	var l fault.List
	l.Check(order.KnownCountry(r.Country), "country", fmt.Sprintf("%.20q is not a country", r.Country), "write its name, or its two letters, such as US")
	l.Add(order.Text("region", r.Region, 40, false))
	if len(address.Parts(r.Country)) > 0 && r.Region != "" {
		_, known := address.PartOf(r.Country, r.Region)
		l.Check(known, "region", fmt.Sprintf("%s has no state %.20q", r.Country, r.Region), "write its letters or its name; empty for the whole country")
	}
	l.Check(!r.From.IsZero() && !r.From.Before(calendar.Earliest) && !r.From.After(calendar.Latest), "from", "the first day of the rate is missing or not likely", "give the day from which it applies")
	l.Check(r.Rate >= 0 && r.Rate <= whole, "rate", "the rate is not between 0 and 100 %", "write it like 6.25 %")
	l.Add(order.Text("name", r.Name, 60, true))
	l.Add(order.Text("source", r.Source, 200, false))
	return l.Err()
}

// PerCent says the rate: "6.25 %".
func (r Rate) PerCent() string {
	n, frac := r.Rate/10000, r.Rate%10000
	if frac == 0 {
		return fmt.Sprintf("%d %%", n)
	}
	return fmt.Sprintf("%d.%s %%", n, strings.TrimRight(fmt.Sprintf("%04d", frac), "0"))
}

// ParsePerCent reads a rate: "6.25 %", "6,25" or "0". Faults: Invalid when it is none, or has more than four decimals.
func ParsePerCent(text string) (int64, error) {
	bad := fault.Invalidf("rate", "%.20q is not a rate", text).ToMend("write it in per cent with at most four decimals, like 6.25")
	t := strings.Replace(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")), ",", ".", 1)
	n, frac, _ := strings.Cut(t, ".")
	if len(frac) > 4 || strings.ContainsAny(n+frac, "+-_") || n == "" || len(n) > 9 {
		return 0, bad
	}
	v, err := strconv.ParseInt(n+frac+strings.Repeat("0", 4-len(frac)), 10, 64)
	if err != nil {
		return 0, bad
	}
	if v > whole {
		return 0, fault.Invalidf("rate", "%.20q is more than 100 %%", text).ToMend("write it in per cent, like 6.25")
	}
	return v, nil
}

// Find returns the rate that applies in a place on a day: the latest of its state, else of its country. false: none was entered, and none is
// guessed.
func Find(rates []Rate, country, region string, day calendar.Day) (Rate, bool) {
	country, region = Place(country, region)
	var best Rate
	found := false
	for _, r := range rates {
		if r.Country != country || r.Region != "" && r.Region != region || r.From.After(day) {
			continue
		}
		if !found || cmp.Or(cmp.Compare(len(r.Region), len(best.Region)), r.From.Sub(best.From)) > 0 {
			best, found = r, true
		}
	}
	return best, found
}

// On is what the rate takes of goods and postage: of Base, rounded to the minor unit, half away from zero. Inside, the two together are
// what is taxed. Faults: Invalid when the two are in different currencies or do not fit.
func (r Rate) On(goods, postage money.Amount) (base, tax money.Amount, err error) {
	base = goods
	if r.Postage {
		if base, err = goods.Add(postage); err != nil {
			return base, base, err
		}
	}
	if !r.Inside {
		tax, err = base.Share(r.Rate, whole)
		return base, tax, err
	}
	if tax, err = base.Share(r.Rate, whole+r.Rate); err != nil {
		return base, tax, err
	}
	base, err = base.Sub(tax)
	return base, tax, err
}

// Certificate lets a buyer buy for resale: the studio takes no tax of sales to her into that place while it lasts.
type Certificate struct {
	ID      int64        `json:"id"`
	Buyer   int64        `json:"buyer"`
	Country string       `json:"country"`
	Region  string       `json:"region,omitempty"`
	Number  string       `json:"number"`
	From    calendar.Day `json:"from"`
	Until   calendar.Day `json:"until,omitzero"` // the last day; no day: it has no end
}

// Tidy trims what people type around.
func (c Certificate) Tidy() Certificate {
	c.Country, c.Region = Place(c.Country, c.Region)
	c.Number = strings.TrimSpace(c.Number)
	return c
}

// Validate looks at a certificate alone. Faults: Invalid.
func (c Certificate) Validate() error {
	var l fault.List
	l.Add(Rate{Country: c.Country, Region: c.Region, From: c.From, Name: "x"}.Validate())
	l.Add(order.Text("number", c.Number, 60, true))
	l.Check(c.Until.IsZero() || !c.Until.Before(c.From), "until", "it ends before it begins", "look at both days")
	return l.Err()
}

// Covers reports whether it counts in a place on a day.
func (c Certificate) Covers(country, region string, day calendar.Day) bool {
	country, region = Place(country, region)
	return c.Country == country && (c.Region == "" || c.Region == region) && !day.Before(c.From) && (c.Until.IsZero() || !day.After(c.Until))
}

// Store keeps rates and certificates.
type Store interface {
	TaxRates() ([]Rate, error)                  // by country, state and day
	SaveTaxRate(Rate) (int64, error)            // in the place of one of the same country, state and day
	DropTaxRate(id int64) error                 // Faults: Missing
	Resales(buyer int64) ([]Certificate, error) // of all when it is 0; by day
	AddResale(Certificate) (int64, error)
	EndResale(id int64, until calendar.Day) error // Faults: Missing
	// TaxPieces returns what the journal has of each order between two days, of what a return asks for, by order.
	TaxPieces(from, until calendar.Day) ([]Piece, error)
}

// Sale is what the tax of a sale goes by.
type Sale struct {
	Country, Region string
	Day             calendar.Day
	Goods, Postage  money.Amount
	Charged         money.Amount // as tax, on top
	ByOutlet        bool         // the outlet collects it
	Resales         []Certificate
}

// Answer is what the rates say of a sale.
type Answer struct {
	Place    string       `json:"place"`
	Rate     *Rate        `json:"rate"` // null = none was entered
	ByOutlet bool         `json:"by_outlet,omitempty"`
	Exempt   *Certificate `json:"exempt,omitempty"`
	Base     money.Amount `json:"base"`
	Tax      money.Amount `json:"tax"`     // by the rate: inside its prices, or to be added
	Charged  money.Amount `json:"charged"` // on top, as the order has it
}

// Of says what the rates take of a sale. Faults: Invalid when amounts do not fit.
func Of(s Sale, rates []Rate) (Answer, error) {
	country, region := Place(s.Country, s.Region)
	none := money.Of(0, s.Goods.Currency)
	a := Answer{Place: PlaceName(country, region), Base: none, Tax: none, Charged: s.Charged, ByOutlet: s.ByOutlet}
	if s.ByOutlet {
		return a, nil
	}
	for _, c := range s.Resales {
		if c.Covers(country, region, s.Day) {
			a.Exempt = &c
			return a, nil
		}
	}
	r, ok := Find(rates, country, region, s.Day)
	if !ok {
		return a, nil
	}
	a.Rate = &r
	var err error
	a.Base, a.Tax, err = r.On(s.Goods, s.Postage)
	return a, err
}

// Added is the tax that is to stand on top of a sale: none where it is inside the prices. known is false where no rate says so.
func (a Answer) Added() (added money.Amount, known bool) {
	none := money.Of(0, a.Tax.Currency)
	switch {
	case a.ByOutlet || a.Rate == nil && a.Exempt == nil:
		return none, false
	case a.Exempt != nil || a.Rate.Inside:
		return none, true
	}
	return a.Tax, true
}

// Words says what the rates take, in one sentence.
func (a Answer) Words() string {
	switch {
	case a.ByOutlet:
		return "the outlet collects the tax, if any"
	case a.Exempt != nil:
		return "no tax: bought for resale, certificate " + a.Exempt.Number
	case a.Rate == nil:
		return "no rate is entered for " + a.Place + ", and none is guessed"
	case a.Rate.Inside:
		return fmt.Sprintf("%s %s of %s is %s, inside the prices", a.Rate.Name, a.Rate.PerCent(), a.Base, a.Tax)
	}
	return fmt.Sprintf("%s %s of %s is %s", a.Rate.Name, a.Rate.PerCent(), a.Base, a.Tax)
}
