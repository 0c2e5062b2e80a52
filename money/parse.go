package money

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/fault"
)

// Parse reads an amount as typed: "12.50", "12,50", "1,234.50", "1.234,50", "1 234.50", "12.50 USD",
// "USD 12.50", "$12.50", "-3". Without a code the currency is def; with a code it must be def unless def
// is "". More digits than the currency has are refused, never rounded, and a mark that may part
// thousands or decimals is refused rather than guessed at.
// Faults: Invalid, naming what is wrong with the text.
func Parse(text, def string) (Amount, error) {
	n, cur, why := parse(text, def)
	if why != "" {
		return Amount{}, fault.New(fault.Invalid, "%q is not an amount: %s", fault.Clip(text), why).
			ToMend("write it like %s", example(def))
	}
	return Amount{n, cur}, nil
}

// mostText is how many bytes of a text are read; a longer one is no amount.
const mostText = 40

func parse(text, def string) (minor int64, cur, why string) {
	s := strings.TrimSpace(text)
	switch {
	case s == "":
		return 0, "", "it is empty"
	case len(s) > mostText:
		return 0, "", "it is too long"
	case !utf8.ValidString(s):
		return 0, "", "it holds broken characters"
	}
	code, s := cutCode(s)
	switch cur = strings.ToUpper(code); {
	case s == "":
		return 0, "", "it has no digits"
	case code == "" && def == "":
		return 0, "", "the currency is missing"
	case code == "":
		cur = def
	case !Known(cur):
		return 0, "", cur + " is not a currency code"
	case def != "" && cur != def:
		return 0, "", "the money here is " + def
	}
	negative := false
	if s, negative = cutMinus(s); !negative {
		s = cutSymbol(s, cur)
		s, negative = cutMinus(s)
	} else {
		s = cutSymbol(s, cur)
	}
	whole, frac, why := split(s, Digits(cur))
	if why != "" {
		return 0, "", why
	}
	d := Digits(cur)
	if len(frac) > d {
		return 0, "", fmt.Sprintf("%s has %d digits after the point", name(cur), d)
	}
	n, err := strconv.ParseInt(whole+frac+strings.Repeat("0", d-len(frac)), 10, 64)
	if err != nil || n > MaxMinor {
		return 0, "", "it is absurdly large"
	}
	if negative {
		n = -n
	}
	return n, cur, ""
}

// cutCode takes a code before or behind the number off; letters elsewhere stay and are found by split.
func cutCode(s string) (code, rest string) {
	end := strings.IndexFunc(s, notLetter)
	if end > 0 {
		return s[:end], strings.TrimSpace(s[end:])
	}
	start := strings.LastIndexFunc(s, notLetter)
	if start < 0 {
		return s, ""
	}
	start++
	for start < len(s) && !utf8.RuneStart(s[start]) {
		start++
	}
	return s[start:], strings.TrimSpace(s[:start])
}

func notLetter(r rune) bool { return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') }

func cutMinus(s string) (string, bool) {
	for _, minus := range []string{"-", "−"} {
		if t, ok := strings.CutPrefix(s, minus); ok {
			return strings.TrimSpace(t), true
		}
	}
	return s, false
}

func cutSymbol(s, cur string) string {
	if sign := symbol(cur); sign != "" {
		t, before := strings.CutPrefix(s, sign)
		if !before {
			t = strings.TrimSuffix(s, sign)
		}
		s = strings.TrimSpace(t)
	}
	return s
}

func symbol(cur string) string {
	switch cur {
	case "USD", "CAD", "AUD", "NZD":
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

// spaces turns spaces that do not break a line, and thin ones, into plain ones.
var spaces = strings.NewReplacer("\u00a0", " ", "\u2009", " ", "\u202f", " ")

// split takes "1,234.50", "1.234,50", "1234,50" or "1 234.50" apart into digits. The last of two
// different marks is the decimal one. A single comma followed by three digits parts thousands, save
// where the currency has three decimals: there it might be either, and is refused.
func split(s string, decimals int) (whole, frac, why string) {
	s = spaces.Replace(s)
	mark := decimalMark(s)
	whole = s
	if mark >= 0 {
		whole, frac = s[:mark], s[mark+1:]
		if frac == "" {
			return "", "", "nothing follows the decimal point"
		}
		if strings.IndexByte(whole, s[mark]) >= 0 {
			return "", "", "the decimal point comes twice"
		}
	} else if decimals == 3 && strings.Count(s, ",") == 1 {
		return "", "", "the comma may mark thousands or decimals; use a point"
	}
	if whole, why = ungroup(whole); why != "" {
		return "", "", why
	}
	if whole == "" && frac == "" {
		return "", "", "it has no digits"
	}
	for _, r := range whole + frac {
		if r < '0' || r > '9' {
			return "", "", fmt.Sprintf("%q is not a digit", r)
		}
	}
	return whole, frac, ""
}

// decimalMark returns where the decimal mark stands, or -1.
func decimalMark(s string) int {
	point, comma := strings.LastIndexByte(s, '.'), strings.LastIndexByte(s, ',')
	if point >= 0 || comma < 0 {
		if comma > point {
			return comma
		}
		return point
	}
	if len(s)-comma-1 == 3 && !strings.HasPrefix(s, "0,") && comma > 0 {
		return -1
	}
	return comma
}

// ungroup takes the marks between thousands out.
func ungroup(whole string) (digits, why string) {
	at := strings.IndexAny(whole, ",. ")
	if at < 0 {
		return whole, ""
	}
	parts := strings.Split(whole, whole[at:at+1])
	for i, p := range parts {
		if i > 0 && len(p) != 3 || i == 0 && (p == "" || len(p) > 3) {
			return "", "the thousands are not in threes"
		}
	}
	return strings.Join(parts, ""), ""
}

func example(def string) string {
	if def == "" {
		return "12.50 USD"
	}
	n := int64(125)
	for range Digits(def) {
		n *= 10
	}
	return Amount{n / 10, def}.Plain()
}
