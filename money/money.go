// Package money knows exact amounts: a whole number of minor units (cents) and an ISO 4217 currency.
//
// There is no float here. Amounts of different currencies never mix: Add and Sub say so with a fault.
// Rounding happens only where a function's name or comment says it does.
package money

import (
	"encoding/json"
	"math"
	"math/bits"
	"strconv"

	"github.com/bojanz/currency"

	"solander/fault"
)

// Amount is Minor minor units of Currency (an ISO 4217 code in capitals). The zero Amount is "nothing
// of no currency": it may be added to any amount.
type Amount struct {
	Minor    int64
	Currency string
}

// MaxMinor bounds what is accepted from input, in minor units either way: a sum of ninety million such
// amounts still fits, and one that does not is a fault of Add.
const MaxMinor = 1_000_000_000_00

// Of returns minor units of a currency.
func Of(minor int64, currency string) Amount { return Amount{minor, currency} }

// Known reports whether code is a current ISO 4217 code.
func Known(code string) bool { return code != "" && currency.IsValid(code) }

// Digits returns how many minor digits a currency has by ISO 4217; 2 for an unknown one.
func Digits(code string) int {
	d, ok := currency.GetDigits(code)
	if !ok {
		return 2
	}
	return int(d)
}

// IsZero reports an amount of nothing, whatever its currency.
func (a Amount) IsZero() bool { return a.Minor == 0 }

// Sign is -1, 0 or 1.
func (a Amount) Sign() int {
	switch {
	case a.Minor < 0:
		return -1
	case a.Minor > 0:
		return 1
	}
	return 0
}

func same(a, b Amount) (string, error) {
	switch {
	case a.Currency == b.Currency, b.Currency == "" && b.Minor == 0:
		return a.Currency, nil
	case a.Currency == "" && a.Minor == 0:
		return b.Currency, nil
	}
	return "", fault.New(fault.Invalid, "%s and %s cannot be added", name(a.Currency), name(b.Currency)).
		ToMend("keep one order in one currency")
}

func name(code string) string {
	if code == "" {
		return "an amount without currency"
	}
	return code
}

// Add returns a + b. Faults: Invalid when the currencies differ or the sum does not fit.
func (a Amount) Add(b Amount) (Amount, error) {
	cur, err := same(a, b)
	if err != nil {
		return Amount{}, err
	}
	sum := a.Minor + b.Minor
	if sum == math.MinInt64 || (sum > a.Minor) != (b.Minor > 0) && b.Minor != 0 {
		return Amount{}, fault.New(fault.Invalid, "the sum of %s and %s is too large", a, b)
	}
	return Amount{sum, cur}, nil
}

// Sub returns a - b, with Add's faults.
func (a Amount) Sub(b Amount) (Amount, error) {
	if b.Minor == math.MinInt64 {
		return Amount{}, fault.New(fault.Invalid, "%s is too large", b)
	}
	return a.Add(b.Neg())
}

// Neg returns -a. The one amount without an opposite, math.MinInt64 minor units, is outside everything
// that Parse, Add or Times accept; its opposite is taken to be the largest amount.
func (a Amount) Neg() Amount {
	if a.Minor == math.MinInt64 {
		return Amount{math.MaxInt64, a.Currency}
	}
	return Amount{-a.Minor, a.Currency}
}

// Times returns n · a. Faults: Invalid when it does not fit.
func (a Amount) Times(n int64) (Amount, error) {
	hi, lo := bits.Mul64(abs(a.Minor), abs(n))
	if hi != 0 || lo > math.MaxInt64 {
		return Amount{}, fault.New(fault.Invalid, "%s times %d is too large", a, n)
	}
	v := int64(lo)
	if (a.Minor < 0) != (n < 0) {
		v = -v
	}
	return Amount{v, a.Currency}, nil
}

func abs(n int64) uint64 {
	if n < 0 {
		return uint64(-n)
	}
	return uint64(n)
}

// Sum adds amounts of one currency.
func Sum(amounts ...Amount) (Amount, error) {
	var t Amount
	for _, a := range amounts {
		var err error
		if t, err = t.Add(a); err != nil {
			return Amount{}, err
		}
	}
	return t, nil
}

// PerCent writes a share in thousandths, 0 or more, as per cent, with a decimal only where it says something: 65 is "6.5", 30 is "3".
func PerCent(thousandths int64) string {
	if thousandths%10 == 0 {
		return strconv.FormatInt(thousandths/10, 10)
	}
	return strconv.FormatInt(thousandths/10, 10) + "." + strconv.FormatInt(thousandths%10, 10)
}

// Share returns part/whole of the amount, rounded half away from zero to the minor unit. whole must
// be positive. Used for percentages: 2.9 % is Share(29, 1000).
func (a Amount) Share(part, whole int64) (Amount, error) {
	if whole <= 0 {
		return Amount{}, fault.New(fault.Invalid, "a share of %d parts", whole)
	}
	hi, lo := bits.Mul64(abs(a.Minor), abs(part))
	lo, carry := bits.Add64(lo, uint64(whole)/2, 0)
	hi += carry
	if hi >= uint64(whole) {
		return Amount{}, fault.New(fault.Invalid, "%d/%d of %s is too large", part, whole, a)
	}
	q, _ := bits.Div64(hi, lo, uint64(whole))
	if q > math.MaxInt64 {
		return Amount{}, fault.New(fault.Invalid, "%d/%d of %s is too large", part, whole, a)
	}
	v := int64(q)
	if (a.Minor < 0) != (part < 0) {
		v = -v
	}
	return Amount{v, a.Currency}, nil
}

// String prints "12.50 USD", exactly, with the digits of the currency.
func (a Amount) String() string {
	s := a.Plain()
	if a.Currency == "" {
		return s
	}
	return s + " " + a.Currency
}

// Plain prints the number alone: "12.50", "-3.00", "500" (yen).
func (a Amount) Plain() string {
	d := Digits(a.Currency)
	n := abs(a.Minor)
	s := strconv.FormatUint(n, 10)
	if d > 0 {
		for len(s) <= d { // at most four turns: no currency has more digits
			s = "0" + s
		}
		s = s[:len(s)-d] + "." + s[len(s)-d:]
	}
	if a.Minor < 0 {
		s = "-" + s
	}
	return s
}

type wire struct {
	Minor    int64  `json:"minor"`
	Currency string `json:"currency"`
}

// MarshalJSON writes {"minor": 1250, "currency": "USD"}.
func (a Amount) MarshalJSON() ([]byte, error) { return json.Marshal(wire(a)) }

// UnmarshalJSON reads what MarshalJSON writes. Faults: Invalid for another form, an unknown currency, an
// amount without one (save nothing of no currency) or beyond MaxMinor; then a keeps its value,
// as it does for null.
func (a *Amount) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		return nil
	}
	var w wire
	if err := json.Unmarshal(b, &w); err != nil {
		return fault.New(fault.Invalid, "this is not an amount").
			ToMend("write it {\"minor\": 1250, \"currency\": \"USD\"}, in whole minor units").Because(err)
	}
	if w.Currency == "" && w.Minor != 0 {
		return fault.New(fault.Invalid, "the amount %d has no currency", w.Minor).ToMend("add an ISO 4217 code such as USD")
	}
	if w.Currency != "" && !Known(w.Currency) {
		return fault.New(fault.Invalid, "%q is not a currency code", fault.Clip(w.Currency)).ToMend("use an ISO 4217 code such as USD")
	}
	if w.Minor > MaxMinor || w.Minor < -MaxMinor {
		return fault.New(fault.Invalid, "%s is absurdly large", Amount(w)).ToMend("look at the number of minor units")
	}
	*a = Amount(w)
	return nil
}

// OfCountry returns the currency that a country pays in, by its ISO 3166-1 code; false when it is not known.
// Source: Unicode CLDR, by github.com/bojanz/currency.
func OfCountry(country string) (code string, ok bool) { return currency.ForCountryCode(country) }
