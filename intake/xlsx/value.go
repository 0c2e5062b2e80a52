package xlsx

import (
	"math/big"
	"strings"

	"solander/intake"
)

// value is what a formula of a conditional format works with. Numbers are exact fractions.
type value struct {
	kind   valueKind
	number *big.Rat
	text   string
	truly  bool
}

type valueKind uint8

// The kinds, in the order in which spreadsheet programs compare them: numbers before texts before truths.
const (
	isBlank valueKind = iota
	isNumber
	isText
	isBool
	isError
)

func number(n int64) value { return value{kind: isNumber, number: new(big.Rat).SetInt64(n)} }
func words(s string) value { return value{kind: isText, text: s} }
func truth(b bool) value   { return value{kind: isBool, truly: b} }
func failed() value        { return value{kind: isError} }
func (v value) truth() bool {
	return v.kind == isBool && v.truly || v.kind == isNumber && v.number.Sign() != 0
}
func (v value) isNumber() bool { return v.kind == isNumber || v.kind == isBlank }

// rat returns the number, 0 for a blank.
func (v value) rat() *big.Rat {
	if v.kind == isNumber {
		return v.number
	}
	return new(big.Rat)
}

// String is the value as text: what & joins.
func (v value) String() string {
	switch v.kind {
	case isNumber:
		if v.number.IsInt() {
			return v.number.Num().String()
		}
		return strings.TrimRight(v.number.FloatString(significant), "0")
	case isText:
		return v.text
	case isBool:
		return map[bool]string{true: "TRUE", false: "FALSE"}[v.truly]
	}
	return ""
}

// valueOf is the value of a cell; a day is the number that the file holds for it.
func valueOf(c intake.Cell) value {
	switch c.Kind {
	case intake.Number, intake.Date:
		if r, ok := new(big.Rat).SetString(c.Number); ok && c.Number != "" {
			return value{kind: isNumber, number: r}
		}
		return words(c.Text)
	case intake.Words:
		return words(c.Text)
	case intake.Bool:
		return truth(c.Text == "TRUE")
	case intake.Broken:
		return failed()
	}
	return value{}
}

// compare answers a = b and the like, texts without regard to capitals.
func compare(sign string, a, b value) value {
	if a.kind == isError || b.kind == isError {
		return failed()
	}
	c := order(a, b)
	switch sign {
	case "=":
		return truth(c == 0)
	case "<>":
		return truth(c != 0)
	case "<":
		return truth(c < 0)
	case "<=":
		return truth(c <= 0)
	case ">":
		return truth(c > 0)
	}
	return truth(c >= 0)
}

func order(a, b value) int {
	a, b = like(a, b), like(b, a)
	if a.kind != b.kind {
		return int(a.kind) - int(b.kind)
	}
	switch a.kind {
	case isNumber:
		return a.number.Cmp(b.number)
	case isText:
		return strings.Compare(strings.ToLower(a.text), strings.ToLower(b.text))
	case isBool:
		return map[bool]int{true: 1}[a.truly] - map[bool]int{true: 1}[b.truly]
	}
	return 0
}

// like turns a blank into the nothing of the other's kind.
func like(a, other value) value {
	if a.kind != isBlank || other.kind == isBlank {
		return a
	}
	switch other.kind {
	case isText:
		return words("")
	case isBool:
		return truth(false)
	}
	return number(0)
}
