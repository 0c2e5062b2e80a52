// Package cell understands one cell, or one text, as an amount, a day, a size, numbers of an edition, a yes or no, a grade. What can be
// read in two ways is not read: a Trouble says so, and which question settles it. Amounts are exact; nothing is rounded.
package cell

import (
	"strings"
	"unicode/utf8"

	"solander/fault"
	"solander/intake"
	"solander/money"
)

// Trouble is why a cell could not be read, or is doubtful. The zero trouble is none.
type Trouble struct {
	Rule, What, Mend string
	Bars             bool
	Ask              string // part of the mapping that would settle it: "days", "decimal", "unit"
}

func (t Trouble) None() bool { return t.Rule == "" }

// noAmount are words for nothing in a column of money.
var noAmount = map[string]bool{"": true, "0": false, "n a": true, "na": true, "none": true, "nil": true, "free": true, "gift": true}

// AmountOf reads a cell of money. ok is false when it holds none; then the trouble is why, or none for a blank cell.
// A number of a workbook is exact; a text may be grouped by points, commas, spaces or apostrophes, carry a sign or code of
// the currency before or behind, and end in ",-". An amount that can be read two ways is not read unless decimal says how.
func AmountOf(c intake.Cell, currency, decimal string) (a money.Amount, ok bool, t Trouble) {
	switch c.Kind {
	case intake.Blank:
		return a, false, t
	case intake.Number:
		return plainAmount(c.Number, currency)
	case intake.Words:
		return AmountText(c.Text, currency, decimal)
	}
	return a, false, Trouble{"amount", "this is no amount: " + fault.Clip(c.Text), "write it like 12.50", true, ""}
}

func plainAmount(number, currency string) (money.Amount, bool, Trouble) {
	a, err := money.Parse(number, currency)
	if err != nil {
		return a, false, Trouble{"amount", fault.All(err)[0].What, "write it with the digits of the currency", true, ""}
	}
	return a, true, Trouble{}
}

func AmountText(text, currency, decimal string) (a money.Amount, ok bool, t Trouble) {
	bad := func(what string) (money.Amount, bool, Trouble) {
		return a, false, Trouble{"amount", what + ": " + fault.Clip(text), "write it like 12.50", true, ""}
	}
	if noAmount[intake.Fold(text)] {
		return a, false, t
	}
	if !strings.ContainsAny(text, "0123456789") {
		return bad("this is no amount")
	}
	s, other := cutCurrency(strings.TrimSpace(text), currency)
	if other != "" {
		return a, false, Trouble{"amount.currency", "the amount is in " + other + ", the file's money is " + currency, "convert it, or take the row out", true, ""}
	}
	negative := false
	if inner, in := strings.CutPrefix(s, "("); in && strings.HasSuffix(inner, ")") {
		s, negative = strings.TrimSuffix(inner, ")"), true
	}
	s, _ = cutCurrency(strings.TrimSpace(s), currency)
	for _, minus := range []string{"-", "−", "–"} {
		if rest, in := strings.CutPrefix(s, minus); in {
			s, negative = strings.TrimSpace(rest), !negative
			break
		}
	}
	s, _ = cutCurrency(strings.TrimSpace(s), currency)
	for _, end := range []string{",-", ".-", ",–", ",--", ".--", ",—"} {
		s = strings.TrimSuffix(s, end)
	}
	plain, why := plainDigits(s, decimal, money.Digits(currency))
	if why == twoWays {
		return a, false, Trouble{"amount.decimal", "the amount can be read in two ways: " + fault.Clip(text), "say which sign marks decimals", true, "decimal"}
	}
	if why != "" {
		return bad(why)
	}
	a, ok, t = plainAmount(plain, currency)
	if ok && negative {
		a = a.Neg()
	}
	return a, ok, t
}

// Signs are the currency signs that are known; a dollar sign is that of every dollar.
var Signs = []struct{ Sign, Currency string }{
	{"US$", "USD"}, {"C$", "CAD"}, {"A$", "AUD"}, {"NZ$", "NZD"}, {"$", "USD CAD AUD NZD"}, {"€", "EUR"}, {"£", "GBP"}, {"¥", "JPY"}, {"Fr.", "CHF"}, {"kr", "SEK NOK DKK"},
}

// cutCurrency takes a sign or an ISO 4217 code off either end. other names it when it is of another currency.
func cutCurrency(s, currency string) (rest, other string) {
	for _, g := range Signs {
		t, before := strings.CutPrefix(s, g.Sign)
		if !before {
			var behind bool
			if t, behind = strings.CutSuffix(s, g.Sign); !behind {
				continue
			}
		}
		if !strings.Contains(g.Currency, currency) {
			return s, g.Sign
		}
		return strings.TrimSpace(t), ""
	}
	if len(s) > 3 {
		for _, code := range []string{s[:3], s[len(s)-3:]} {
			up := strings.ToUpper(code)
			if !money.Known(up) {
				continue
			}
			if up != currency {
				return s, up
			}
			if code == s[:3] {
				return strings.TrimSpace(s[3:]), ""
			}
			return strings.TrimSpace(s[:len(s)-3]), ""
		}
	}
	return s, ""
}

const twoWays = "two ways"

// gaps are what may part groups of digits beside point and comma: spaces, also narrow and unbroken ones, and apostrophes.
var gaps = strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "", "\u2009", "", "'", "", "’", "")

// plainDigits turns a grouped decimal text into digits with at most one point. Which mark is the decimal one: the last
// of two different ones; of a mark that comes once, decimal, else the mark itself unless exactly three digits follow it.
func plainDigits(s, decimal string, places int) (plain, why string) {
	if len(s) > 40 || !utf8.ValidString(s) || !strings.ContainsAny(s, "0123456789") {
		return "", "this is no amount"
	}
	s = gaps.Replace(s)
	if s == "" || strings.Trim(s, "0123456789.,") != "" || strings.Trim(s, ".,") == "" {
		return "", "this is no amount"
	}
	at := strings.LastIndexAny(s, ".,")
	if at < 0 {
		return s, ""
	}
	mark := s[at : at+1]
	other := map[string]string{".": ",", ",": "."}[mark]
	once, both := strings.Count(s, mark) == 1, strings.Contains(s, other)
	switch {
	case !once && both:
		return "", "the decimal sign comes twice"
	case !once || !both && decimal == other:
		return grouped(s, mark, "")
	case both && decimal == other:
		return "", "the marks are not those of the file"
	case both || decimal == mark || len(s)-at-1 != 3 || at > 3:
		return grouped(s[:at], other, s[at:])
	case s[0] == '0' && at == 1 && places == 3:
		return grouped(s[:at], other, s[at:])
	}
	return "", twoWays
}

// grouped joins groups of three digits; fraction is what follows, with its mark.
func grouped(whole, mark, fraction string) (plain, why string) {
	groups := strings.Split(whole, mark)
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && len(groups) > 1 && (g == "" || len(g) > 3) {
			return "", "the groups of digits are not of three"
		}
	}
	plain = strings.Join(groups, "")
	if plain == "" {
		plain = "0"
	}
	if len(fraction) > 1 {
		plain += "." + fraction[1:]
	}
	return plain, ""
}
