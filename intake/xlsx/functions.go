package xlsx

import (
	"math/big"
	"strings"
	"unicode/utf8"
)

// function is one of the functions of formulas (18.17.7) that are worked out here.
type function struct {
	least, most int // arguments
	run         func(at env, args []node) value
}

const anyNumber = 30

var functions = map[string]function{
	"AND": {1, anyNumber, func(at env, args []node) value { return all(at, args, true) }},
	"OR":  {1, anyNumber, func(at env, args []node) value { return all(at, args, false) }},
	"NOT": {1, 1, func(at env, args []node) value {
		return unlessError(args[0](at), func(v value) value { return truth(!v.truth()) })
	}},
	"IF":       {2, 3, choose},
	"TRUE":     {0, 0, func(env, []node) value { return truth(true) }},
	"FALSE":    {0, 0, func(env, []node) value { return truth(false) }},
	"ISBLANK":  {1, 1, func(at env, args []node) value { return truth(args[0](at).kind == isBlank) }},
	"ISNUMBER": {1, 1, func(at env, args []node) value { return truth(args[0](at).kind == isNumber) }},
	"ISTEXT":   {1, 1, func(at env, args []node) value { return truth(args[0](at).kind == isText) }},
	"ISERROR":  {1, 1, func(at env, args []node) value { return truth(args[0](at).kind == isError) }},
	"LEN":      {1, 1, textual(func(s string) value { return number(int64(utf8.RuneCountInString(s))) })},
	"TRIM":     {1, 1, textual(func(s string) value { return words(strings.Join(strings.Fields(s), " ")) })},
	"UPPER":    {1, 1, textual(func(s string) value { return words(strings.ToUpper(s)) })},
	"LOWER":    {1, 1, textual(func(s string) value { return words(strings.ToLower(s)) })},
	"LEFT":     {1, 2, func(at env, args []node) value { return part(at, args, true) }},
	"RIGHT":    {1, 2, func(at env, args []node) value { return part(at, args, false) }},
	"SEARCH":   {2, 2, func(at env, args []node) value { return find(args[0](at), args[1](at), strings.ToLower) }},
	"FIND":     {2, 2, func(at env, args []node) value { return find(args[0](at), args[1](at), strings.Clone) }},
	"EXACT":    {2, 2, func(at env, args []node) value { return truth(args[0](at).String() == args[1](at).String()) }},
	"ROW":      {0, 0, func(at env, _ []node) value { return number(int64(at.row)) }},
	"COLUMN":   {0, 0, func(at env, _ []node) value { return number(int64(at.column + 1)) }},
	"MOD":      {2, 2, modulo},
}

// all is AND, or with whole false OR.
func all(at env, args []node, whole bool) value {
	result := whole
	for _, a := range args {
		v := a(at)
		if v.kind == isError || v.kind == isText {
			return failed()
		}
		if v.truth() != whole {
			result = !whole
		}
	}
	return truth(result)
}

func unlessError(v value, f func(value) value) value {
	if v.kind == isError {
		return v
	}
	return f(v)
}

func choose(at env, args []node) value {
	v := args[0](at)
	switch {
	case v.kind == isError || v.kind == isText:
		return failed()
	case v.truth():
		return args[1](at)
	case len(args) == 3:
		return args[2](at)
	}
	return truth(false)
}

func textual(f func(string) value) func(env, []node) value {
	return func(at env, args []node) value {
		return unlessError(args[0](at), func(v value) value { return f(v.String()) })
	}
}

// part is LEFT, or with left false RIGHT.
func part(at env, args []node, left bool) value {
	v, n := args[0](at), number(1)
	if len(args) == 2 {
		n = args[1](at)
	}
	if v.kind == isError || !n.isNumber() || !n.rat().IsInt() || n.rat().Sign() < 0 || !n.rat().Num().IsInt64() {
		return failed()
	}
	runes := []rune(v.String())
	most := int(min(n.rat().Num().Int64(), int64(len(runes))))
	if left {
		return words(string(runes[:most]))
	}
	return words(string(runes[len(runes)-most:]))
}

// find returns where a text stands within another, from 1.
func find(what, within value, fold func(string) string) value {
	if what.kind == isError || within.kind == isError {
		return failed()
	}
	text := fold(within.String())
	i := strings.Index(text, fold(what.String()))
	if i < 0 {
		return failed()
	}
	return number(int64(utf8.RuneCountInString(text[:i]) + 1))
}

// modulo has the sign of the divisor.
func modulo(at env, args []node) value {
	a, b := args[0](at), args[1](at)
	if !a.isNumber() || !b.isNumber() || b.rat().Sign() == 0 {
		return failed()
	}
	q := new(big.Rat).Quo(a.rat(), b.rat())
	floor := new(big.Int).Div(q.Num(), q.Denom()) // Euclidean with a positive denominator: rounds down
	n := new(big.Rat).Mul(b.rat(), new(big.Rat).SetInt(floor))
	return value{kind: isNumber, number: n.Sub(a.rat(), n)}
}
