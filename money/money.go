// Package money knows exact amounts: a whole number of minor units (cents) and an ISO 4217 currency.
//
// There is no float here. Amounts of different currencies never mix: Add and Sub say so with a fault.
// Rounding happens only where a function's name or comment says it does.
package money

import (
	"encoding/json"
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"strings"

	"github.com/bojanz/currency"

	"solander/fault"
)

// Amount is Minor minor units of Currency (an ISO 4217 code in capitals). The zero Amount is "nothing
// of no currency": it may be added to any amount.
type Amount struct {
	Minor    int64
	Currency string
}

// MaxMinor bounds what is accepted from input, in minor units either way, so that sums of many
// amounts cannot overflow.
const MaxMinor = 1_000_000_000_00

// Of returns minor units of a currency.
func Of(minor int64, currency string) Amount { return Amount{minor, currency} }

// Known reports whether code is a current ISO 4217 code.
func Known(code string) bool { return currency.IsValid(code) }

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
	if (sum > a.Minor) != (b.Minor > 0) && b.Minor != 0 {
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

// Neg returns -a.
func (a Amount) Neg() Amount { return Amount{-a.Minor, a.Currency} }

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
		for len(s) <= d {
			s = "0" + s
		}
		s = s[:len(s)-d] + "." + s[len(s)-d:]
	}
	if a.Minor < 0 {
		s = "-" + s
	}
	return s
}

// Parse reads an amount as typed: "12.50", "12,50", "1,234.50", "12.50 USD", "USD 12.50", "$12.50",
// "-3". Without a code the currency is def; with a code it must be def unless def is "". More digits
// than the currency has are refused, never rounded.
// Faults: Invalid, naming what is wrong with the text.
func Parse(text, def string) (Amount, error) {
	bad := func(why string) (Amount, error) {
		ex := Amount{1250, def}
		return Amount{}, fault.New(fault.Invalid, "%q is not an amount: %s", clip(text), why).
			ToMend("write it like %s", ex.Plain())
	}
	s := strings.TrimSpace(text)
	if s == "" {
		return bad("it is empty")
	}
	if len(s) > 40 {
		return bad("it is too long")
	}
	cur := def
	if i := strings.IndexFunc(s, isLetter); i >= 0 {
		code := strings.ToUpper(strings.Map(func(r rune) rune {
			if isLetter(r) {
				return r
			}
			return -1
		}, s))
		if !Known(code) {
			return bad(code + " is not a currency code")
		}
		if def != "" && code != def {
			return bad("this studio's money is " + def)
		}
		if !strings.HasPrefix(strings.ToUpper(s), code) && !strings.HasSuffix(strings.ToUpper(s), code) {
			return bad("the currency code stands inside the number")
		}
		cur = code
		s = strings.TrimSpace(strings.Map(func(r rune) rune {
			if isLetter(r) {
				return -1
			}
			return r
		}, s))
	}
	neg := false
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "−") {
		neg = true
		s = strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(s, "-"), "−"))
	}
	if t, ok := strings.CutPrefix(s, symbol(cur)); ok && symbol(cur) != "" {
		s = strings.TrimSpace(t)
	}
	whole, frac, err := split(s)
	if err != "" {
		return bad(err)
	}
	d := Digits(cur)
	if len(frac) > d {
		return bad(fmt.Sprintf("%s has %d digits after the point", name(cur), d))
	}
	digits := whole + frac + strings.Repeat("0", d-len(frac))
	n, perr := strconv.ParseInt(digits, 10, 64)
	if perr != nil || n > MaxMinor {
		return bad("it is absurdly large")
	}
	if neg {
		n = -n
	}
	return Amount{n, cur}, nil
}

func isLetter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

func clip(s string) string {
	r := []rune(strings.ToValidUTF8(s, "�"))
	if len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return string(r)
}

func symbol(cur string) string {
	switch cur {
	case "USD", "CAD", "AUD", "NZD", "":
		return "$"
	case "EUR":
		return "€"
	case "GBP":
		return "£"
	case "JPY":
		return "¥"
	}
	return ""
}

// split takes "1,234.50", "1234,50" or "1 234.50" apart. A single comma followed by exactly three
// digits is a thousands mark; followed by one or two it is a decimal mark.
func split(s string) (whole, frac, why string) {
	s = strings.ReplaceAll(strings.ReplaceAll(s, " ", ""), " ", "")
	point := strings.LastIndexByte(s, '.')
	comma := strings.LastIndexByte(s, ',')
	mark := point
	switch {
	case point >= 0 && comma > point:
		mark = comma
	case point < 0 && comma >= 0:
		if len(s)-comma-1 != 3 || strings.HasPrefix(s, "0,") {
			mark = comma
		}
	}
	group := ""
	if mark >= 0 {
		whole, frac = s[:mark], s[mark+1:]
		if frac == "" {
			return "", "", "nothing follows the decimal point"
		}
	} else {
		whole = s
	}
	for _, g := range []string{",", "."} {
		if strings.Contains(whole, g) {
			group = g
		}
	}
	if group != "" {
		parts := strings.Split(whole, group)
		for i, p := range parts {
			if i > 0 && len(p) != 3 || i == 0 && (p == "" || len(p) > 3) {
				return "", "", "the thousands are not in threes"
			}
		}
		whole = strings.Join(parts, "")
	}
	if whole == "" {
		if frac == "" {
			return "", "", "it has no digits"
		}
		whole = "0"
	}
	for _, r := range whole + frac {
		if r < '0' || r > '9' {
			return "", "", fmt.Sprintf("%q is not a digit", r)
		}
	}
	return whole, frac, ""
}

type wire struct {
	Minor    int64  `json:"minor"`
	Currency string `json:"currency"`
}

// MarshalJSON writes {"minor": 1250, "currency": "USD"}.
func (a Amount) MarshalJSON() ([]byte, error) { return json.Marshal(wire{a.Minor, a.Currency}) }

// UnmarshalJSON reads what MarshalJSON writes.
func (a *Amount) UnmarshalJSON(b []byte) error {
	var w wire
	if err := json.Unmarshal(b, &w); err != nil {
		return fault.New(fault.Invalid, "an amount is written {\"minor\": 1250, \"currency\": \"USD\"}").Because(err)
	}
	if w.Currency != "" && !Known(w.Currency) {
		return fault.New(fault.Invalid, "%q is not a currency code", clip(w.Currency)).ToMend("use an ISO 4217 code such as USD")
	}
	*a = Amount{w.Minor, w.Currency}
	return nil
}
