// Package charging knows what is kept back of a sale by those through whom it goes: the fee table of an outlet, and the fee of whoever
// carries the payment. A table is rows with days: a share, a fixed part, tiers, a least and a most, of the prints alone or of postage and
// tax as well. What a table comes to is told part by part, each with the row that it follows from.
//
// Shares are in hundredths of a per cent, days are days of the sale or of the payment. It knows no outlet and no order, and keeps nothing.
package charging

import (
	"fmt"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// What says on what a row is charged.
type What string

// What is charged: each sale by the outlet, each payment by whoever carries it.
const (
	Sale    What = "sale"
	Payment What = "payment"
)

// Whats are all of them.
func Whats() []What { return []What{Sale, Payment} }

// Of says of which amount of a sale a row takes its share. A row of payments is of what was paid, whatever it says.
type Of string

// Of what a share is.
const (
	Prints    Of = "prints"     // the prices of all prints
	Postage   Of = "postage"    // and the postage that the buyer pays
	Tax       Of = "tax"        // and the tax, too
	EachPrint Of = "each-print" // the price of each print by itself, fixed part and tiers for each
)

// Ofs are all of them.
func Ofs() []Of { return []Of{Prints, Postage, Tax, EachPrint} }

// Whole is a share of 100 %.
const Whole = 10_000

// Row is one row of a fee table. Rows of the same day, kind and name are the tiers of one charge.
type Row struct {
	From  calendar.Day `json:"from,omitzero"`  // the first day for which it holds; no day: from the beginning
	What  What         `json:"what"`           //
	Name  string       `json:"name"`           // of the charge, in the outlet's words: "commission"
	Over  money.Amount `json:"over,omitzero"`  // the tier begins above this; nothing: it holds from nothing on
	UpTo  money.Amount `json:"up_to,omitzero"` // and goes up to this, which is still in it; nothing: it has no end
	Parts bool         `json:"parts,omitempty"`
	Share int64        `json:"share"`          // in hundredths of a per cent: 650 = 6.5 %
	Fixed money.Amount `json:"fixed,omitzero"` // on top
	Least money.Amount `json:"least,omitzero"` // never less than this, fixed part included
	Most  money.Amount `json:"most,omitzero"`  // never more; nothing: it has no most
	Of    Of           `json:"of,omitempty"`   // "" is Prints
}

// Table is the fee table of an outlet. The rows of a kind that hold on a day are those of the latest day that is not after it; they take
// the place of all rows of that kind before.
type Table []Row

// Simple is a table of one share of goods and postage and a fixed part, in hundredths of a per cent.
func Simple(share int64, fixed money.Amount) Table {
	return Table{{What: Sale, Name: "fee", Of: Postage, Share: share, Fixed: fixed}}
}

// IsSimple reports whether a table is one that Simple makes, or empty: then two figures say all of it.
func (t Table) IsSimple() (share int64, fixed money.Amount, ok bool) {
	if len(t) == 0 {
		return 0, money.Amount{}, true
	}
	r := t[0]
	plain := Row{What: Sale, Name: r.Name, Of: Postage, Share: r.Share, Fixed: r.Fixed}
	return r.Share, r.Fixed, len(t) == 1 && r == plain
}

// Basis is what a sale comes to, as far as a fee looks at it.
type Basis struct {
	Day     calendar.Day
	Prints  []money.Amount // the price of each
	Postage money.Amount
	Tax     money.Amount
}

// Part is what one charge comes to, and of what.
type Part struct {
	Row    Row          `json:"row"` // the tier that the amount lies in
	Of     money.Amount `json:"of"`  // the amount of which it is
	Times  int          `json:"times,omitempty"`
	Amount money.Amount `json:"amount"`
}

// Bill is all charges of a sale or of a payment.
type Bill []Part

// Sum is what they come to.
func (b Bill) Sum() (money.Amount, error) {
	sum := money.Amount{}
	for _, p := range b {
		var err error
		if sum, err = sum.Add(p.Amount); err != nil {
			return sum, err
		}
	}
	return sum, nil
}

// Tells says a row in words: "6.5 % of prints and postage + 0.45 USD, at least 1.00 USD".
func (r Row) Tells() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %% of %s", PerCent(r.Share), r.ofWords())
	if r.Fixed.Sign() != 0 {
		fmt.Fprintf(&b, " + %s", r.Fixed)
	}
	if r.Least.Sign() != 0 {
		fmt.Fprintf(&b, ", at least %s", r.Least)
	}
	if r.Most.Sign() != 0 {
		fmt.Fprintf(&b, ", at most %s", r.Most)
	}
	switch {
	case r.Over.IsZero() && r.UpTo.IsZero():
	case r.UpTo.IsZero():
		fmt.Fprintf(&b, ", over %s", r.Over)
	case r.Over.IsZero():
		fmt.Fprintf(&b, ", up to %s", r.UpTo)
	default:
		fmt.Fprintf(&b, ", over %s up to %s", r.Over, r.UpTo)
	}
	if r.Parts {
		b.WriteString(" (that part alone)")
	}
	return b.String()
}

func (r Row) ofWords() string {
	if r.What == Payment {
		return "the payment"
	}
	return r.Of.Words()
}

// Words says of what a share is.
func (o Of) Words() string {
	return map[Of]string{Prints: "the prints", Postage: "prints and postage", Tax: "prints, postage and tax", EachPrint: "each print"}[o.or()]
}

func (o Of) or() Of {
	if o == "" {
		return Prints
	}
	return o
}

// PerCent writes hundredths of a per cent with as many decimals as say something: 650 is "6.5", 349 is "3.49".
func PerCent(share int64) string {
	s := fmt.Sprintf("%d.%02d", share/100, share%100)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// Tells says what holds of a table on a day, in one line.
func (t Table) Tells(day calendar.Day) string {
	var all []string
	for _, what := range Whats() {
		for _, r := range t.on(what, day) {
			all = append(all, r.Name+": "+r.Tells())
		}
	}
	if len(all) == 0 {
		return "none"
	}
	return strings.Join(all, "; ")
}

// ParseShare reads a percentage with at most two decimals into hundredths of a per cent; "" is none.
// Faults: Invalid for another form, and for more than 100 %.
func ParseShare(typed string) (int64, error) {
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.ReplaceAll(typed, ",", ".")), "%"))
	if s == "" {
		return 0, nil
	}
	whole, part, _ := strings.Cut(s, ".")
	n, err := strconv.ParseUint(whole+(part + "00")[:2], 10, 31)
	switch {
	case err != nil || len(part) > 2:
		return 0, fault.New(fault.Invalid, "%.20q is not a percentage", s).ToMend("write it like 6.5 or 3.49")
	case n > Whole:
		return 0, fault.New(fault.Invalid, "%.20s %% is more than the whole", s).ToMend("give a share of 0 to 100 %%")
	}
	return int64(n), nil
}
