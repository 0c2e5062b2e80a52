package exchange

import (
	"fmt"
	"math/big"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// Agreed is that the total of an order was agreed in another currency than the book's. The order's own figures stay in the book's currency;
// an agreement is never changed, a later one of the same order takes its place, and one of nothing ends it.
type Agreed struct {
	ID    int64        `json:"id"`
	Order int64        `json:"order"`
	Total money.Amount `json:"total"`          // in the currency agreed; nothing: no longer agreed
	Book  money.Amount `json:"book"`           // what the order came to in the book's currency then
	Rate  string       `json:"rate,omitempty"` // in words, with its day; "" = the total was typed
	Day   calendar.Day `json:"day"`
	At    time.Time    `json:"at"`
	Who   string       `json:"who"`
}

// Stands reports whether it is an agreement, and not the end of one.
func (a Agreed) Stands() bool { return a.Total.Sign() > 0 }

// Came is a payment, or a refund, as it came or went in another currency: beside the payment, whose amount is the share of the order that it
// settled. It is never changed; whether it stands says the payment.
type Came struct {
	ID      int64        `json:"id"`
	Payment int64        `json:"payment"`
	Order   int64        `json:"order"`
	Amount  money.Amount `json:"amount"`         // as it came, never negative
	Worth   money.Amount `json:"worth"`          // in the book's currency on its day
	Rate    string       `json:"rate,omitempty"` // in words; "" = what the bank credited was typed
	At      time.Time    `json:"at"`
	Who     string       `json:"who"`
}

// Gain is what the book gained by the rate, negative for a loss: what came was worth more than it settled, or less was paid back than what it
// gives up of what was settled.
func (c Came) Gain(settled money.Amount, refund bool) money.Amount {
	g := money.Of(c.Worth.Minor-settled.Minor, c.Worth.Currency)
	if refund {
		return g.Neg()
	}
	return g
}

// Share is what a part of an amount comes to when the whole of it is worth so much: all of it for the whole, so that nothing is left over, and
// otherwise at least one minor unit and less than all, half away from nothing. Faults: Refused when the part is too large, or too small for that.
func Share(part, whole, worth money.Amount) (money.Amount, error) {
	switch {
	case whole.Sign() <= 0 || worth.Sign() <= 0:
		return money.Amount{}, fault.New(fault.Refused, "nothing is left of it").In("amount").ToMend("look at the payments of the order")
	case part.Minor > whole.Minor:
		return money.Amount{}, fault.New(fault.Refused, "%s is more than the %s that is left", part, whole).In("amount").ToMend("enter %s at most", whole)
	case part.Minor == whole.Minor:
		return worth, nil
	}
	n := new(big.Int).Mul(big.NewInt(part.Minor), big.NewInt(worth.Minor))
	minor, ok := round(new(big.Rat).SetFrac(n, big.NewInt(whole.Minor)))
	if minor = min(minor, worth.Minor-1); !ok || minor <= 0 {
		return money.Amount{}, fault.New(fault.Refused, "%s is too little to be counted in %s", part, worth.Currency).In("amount").ToMend("enter more of it at once, or all %s", whole)
	}
	return money.Of(minor, worth.Currency), nil
}

// InWords tells the rates of a conversion, each with its day and, where it is known, its source.
func (u Used) InWords() string {
	var out []string
	for i, r := range u.Rates {
		text := fmt.Sprintf("%s %s for one %s on %s", r.Rate, r.Quote, r.Base, r.Day)
		if last := i == len(u.Rates)-1; r.Source != "" && (last || u.Rates[i+1].Source != r.Source) {
			text += " (" + r.Source + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}
