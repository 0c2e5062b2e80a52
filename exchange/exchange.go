// Package exchange knows rates of exchange: as they are typed, as a central bank publishes them (CSV or XML), and what an amount of one currency
// is in another by those of a day. A rate is an exact decimal number; what it makes of an amount is rounded to the minor unit of the currency,
// half away from nothing. It knows no store and no clock, and fetches nothing.
package exchange

import (
	"math/big"
	"slices"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Rate says how much of Quote one unit of Base is on a day.
type Rate struct {
	ID     int64        `json:"id"`
	Base   string       `json:"base"`
	Quote  string       `json:"quote"`
	Day    calendar.Day `json:"day"`
	Rate   string       `json:"rate"` // a decimal number with a point
	Source string       `json:"source,omitempty"`
	At     time.Time    `json:"at,omitzero"`
	Who    string       `json:"who,omitempty"`
}

// mostDigits bounds the digits of a rate, before and behind the point.
const mostDigits = 12

// Parse reads a rate: digits, at most one point. Faults: Invalid; a rate is more than nothing.
func Parse(text string) (string, error) {
	s := strings.TrimSpace(text)
	whole, decimals, _ := strings.Cut(s, ".")
	if whole == "" || len(whole) > mostDigits || len(decimals) > mostDigits || strings.Trim(whole+decimals, "0123456789") != "" || strings.Trim(whole+decimals, "0") == "" {
		return "", fault.New(fault.Invalid, "%q is no rate of exchange", fault.Clip(text)).ToMend("write it with a point, like 1.0804")
	}
	return s, nil
}

// Validate looks at a rate alone. Faults: Invalid.
func (r Rate) Validate() error {
	var l fault.List
	l.Check(money.Known(r.Base), "base", "there is no such currency", "use an ISO 4217 code such as EUR")
	l.Check(money.Known(r.Quote), "quote", "there is no such currency", "use an ISO 4217 code such as USD")
	l.Check(r.Base != r.Quote, "quote", "both currencies are the same", "name two")
	if _, err := Parse(r.Rate); err != nil {
		l.Add(fault.All(err)[0].In("rate"))
	}
	l.Add(order.Text("source", r.Source, 200, false))
	l.Check(!r.Day.IsZero() && !r.Day.Before(calendar.Earliest) && !r.Day.After(calendar.Latest), "day", "it is not a likely day", "look at the year")
	return l.Err()
}

// value is the exact rate.
func (r Rate) value() *big.Rat {
	v, _ := new(big.Rat).SetString(r.Rate)
	return v
}

// Used is a conversion with the rates by which it was made.
type Used struct {
	From  money.Amount `json:"from"`
	To    money.Amount `json:"to"`
	Rates []Rate       `json:"rates"` // one, or two over a third currency
}

// MostOld is how many days old a rate may be: central banks publish none on weekends and holidays. Common practice, no source.
const MostOld = 7

// Convert says what an amount is in another currency on a day, by rates of that day or the latest before it, at most MostOld days old: by a
// rate between the two, either way round, or over a currency that has a rate to both on one day.
// Faults: Missing when there is no such rate; Invalid for an amount that is too large.
func Convert(a money.Amount, to string, on calendar.Day, all []Rate) (Used, error) {
	if a.Currency == to {
		return Used{From: a, To: a}, nil
	}
	all = slices.DeleteFunc(slices.Clone(all), func(r Rate) bool { return r.Day.After(on) || on.Sub(r.Day) > MostOld })
	slices.SortStableFunc(all, func(x, y Rate) int { return y.Day.Sub(x.Day) })
	for _, r := range all {
		if r.Base == a.Currency && r.Quote == to || r.Quote == a.Currency && r.Base == to {
			return apply(a, to, r)
		}
	}
	for _, r := range all {
		if r.Quote != a.Currency {
			continue
		}
		for _, s := range all {
			if s.Base == r.Base && s.Day == r.Day && s.Quote == to {
				return apply(a, to, r, s)
			}
		}
	}
	return Used{}, fault.New(fault.Missing, "no rate between %s and %s is kept of %s or the %d days before", a.Currency, to, on.Long(), MostOld).In("day").
		ToMend("enter the day's rate, or load a file of your central bank")
}

func apply(a money.Amount, to string, rates ...Rate) (Used, error) {
	v := new(big.Rat).SetInt64(a.Minor)
	at := a.Currency
	for _, r := range rates {
		if r.Base == at {
			v.Mul(v, r.value())
			at = r.Quote
		} else {
			v.Quo(v, r.value())
			at = r.Base
		}
	}
	v.Mul(v, new(big.Rat).SetFrac(tens(money.Digits(to)), tens(money.Digits(a.Currency))))
	minor, ok := round(v)
	if !ok {
		return Used{}, fault.New(fault.Invalid, "%s is too large", a).In("amount")
	}
	return Used{From: a, To: money.Of(minor, to), Rates: rates}, nil
}

func tens(n int) *big.Int { return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil) }

// round is the nearest whole number, half away from nothing.
func round(v *big.Rat) (int64, bool) {
	abs := new(big.Rat).Abs(v)
	abs.Add(abs, big.NewRat(1, 2))
	q := new(big.Int).Quo(abs.Num(), abs.Denom())
	if !q.IsInt64() || q.Int64() > money.MaxMinor {
		return 0, false
	}
	return q.Int64() * int64(v.Sign()), true
}
