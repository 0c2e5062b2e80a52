package xlsx

import (
	"fmt"
	"math/big"
	"strings"
)

// env is the cell for which a formula is worked out.
type env struct {
	sheet       *sheet
	column, row int
}

// node is a compiled part of a formula.
type node func(at env) value

// compiler reads the plain part of the grammar of formulas (18.17.2): numbers, texts, references within the sheet,
// comparisons, + - * / &, and the functions of functions.go. Names, ranges, other sheets and arrays are beyond it.
type compiler struct {
	text   string
	at     int
	origin area // references are written as for its first cell
	depth  int
	wild   bool // a text holds wildcards
	why    string
}

const (
	mostFormula = 1_000 // bytes
	mostNesting = 30
)

// compile reads a formula; why says what is beyond the grammar.
func compile(formula string, origin area) (n node, why string) {
	c := &compiler{text: strings.TrimPrefix(strings.TrimSpace(formula), "="), origin: origin}
	if len(c.text) > mostFormula {
		return nil, "is too long"
	}
	n = c.comparison()
	if c.space(); c.why == "" && c.at < len(c.text) {
		c.fail("is not plain enough")
	}
	return n, c.why
}

// fail keeps the first reason. What is compiled after it is never run.
func (c *compiler) fail(why string, args ...any) node {
	if c.why == "" {
		c.why = fmt.Sprintf(why, args...)
	}
	c.at = len(c.text)
	return func(env) value { return failed() }
}

func (c *compiler) space() {
	for c.at < len(c.text) && strings.IndexByte(" \t\r\n", c.text[c.at]) >= 0 {
		c.at++
	}
}

// take steps over the first of the signs that stands here.
func (c *compiler) take(signs ...string) string {
	c.space()
	for _, s := range signs {
		if strings.HasPrefix(c.text[c.at:], s) {
			c.at += len(s)
			return s
		}
	}
	return ""
}

func (c *compiler) comparison() node {
	if c.depth++; c.depth > mostNesting {
		return c.fail("is nested too deeply")
	}
	defer func() { c.depth-- }()
	left := c.joined()
	for {
		sign := c.take("<=", ">=", "<>", "=", "<", ">")
		if sign == "" {
			return left
		}
		a, b := left, c.joined()
		left = func(at env) value { return compare(sign, a(at), b(at)) }
	}
}

func (c *compiler) joined() node {
	left := c.sum()
	for c.take("&") != "" {
		a, b := left, c.sum()
		left = func(at env) value {
			x, y := a(at), b(at)
			if x.kind == isError || y.kind == isError || len(x.text)+len(y.text) > MostCell {
				return failed()
			}
			return words(x.String() + y.String())
		}
	}
	return left
}

func (c *compiler) sum() node {
	left := c.product()
	for {
		sign := c.take("+", "-")
		if sign == "" {
			return left
		}
		left = arithmetic(sign, left, c.product())
	}
}

func (c *compiler) product() node {
	left := c.signed()
	for {
		sign := c.take("*", "/")
		if sign == "" {
			return left
		}
		left = arithmetic(sign, left, c.signed())
	}
}

func arithmetic(sign string, a, b node) node {
	return func(at env) value {
		x, y := a(at), b(at)
		if !x.isNumber() || !y.isNumber() || sign == "/" && y.rat().Sign() == 0 {
			return failed()
		}
		n := new(big.Rat)
		switch sign {
		case "+":
			n.Add(x.rat(), y.rat())
		case "-":
			n.Sub(x.rat(), y.rat())
		case "*":
			n.Mul(x.rat(), y.rat())
		default:
			n.Quo(x.rat(), y.rat())
		}
		return value{kind: isNumber, number: n}
	}
}

func (c *compiler) signed() node {
	switch c.take("-", "+") {
	case "-":
		if c.depth++; c.depth > mostNesting {
			return c.fail("is nested too deeply")
		}
		defer func() { c.depth-- }()
		return arithmetic("-", func(env) value { return number(0) }, c.signed())
	}
	return c.operand()
}

func (c *compiler) operand() node {
	c.space()
	if c.at >= len(c.text) {
		return c.fail("is cut off")
	}
	switch b := c.text[c.at]; {
	case b == '(':
		c.at++
		n := c.comparison()
		if c.take(")") == "" {
			return c.fail("lacks a bracket")
		}
		return n
	case b == '"':
		return c.quoted()
	case b >= '0' && b <= '9' || b == '.':
		return c.number()
	}
	return c.name()
}

func (c *compiler) quoted() node {
	var b strings.Builder
	for {
		rest := c.text[c.at+1:]
		i := strings.IndexByte(rest, '"')
		if i < 0 {
			return c.fail("lacks a quote")
		}
		b.WriteString(rest[:i])
		c.at += i + 2
		if c.at >= len(c.text) || c.text[c.at] != '"' {
			v := words(b.String())
			c.wild = c.wild || strings.ContainsAny(v.text, "*?~")
			return func(env) value { return v }
		}
		b.WriteByte('"')
	}
}

func (c *compiler) number() node {
	start := c.at
	for c.at < len(c.text) && strings.IndexByte("0123456789.", c.text[c.at]) >= 0 {
		c.at++
	}
	r, ok := new(big.Rat).SetString(c.text[start:c.at])
	if !ok || c.at-start > 30 {
		return c.fail("has a number that is none")
	}
	v := value{kind: isNumber, number: r}
	if c.take("%") != "" {
		v.number = new(big.Rat).Quo(r, big.NewRat(100, 1))
	}
	return func(env) value { return v }
}

// name reads a reference, TRUE, FALSE or a function.
func (c *compiler) name() node {
	start := c.at
	for c.at < len(c.text) {
		b := c.text[c.at] | 0x20
		if (b < 'a' || b > 'z') && strings.IndexByte("$._0123456789", c.text[c.at]) < 0 {
			break
		}
		c.at++
	}
	word := strings.TrimPrefix(strings.ToUpper(c.text[start:c.at]), "_XLFN.")
	if c.at < len(c.text) && strings.IndexByte("!:[{", c.text[c.at]) >= 0 || word == "" {
		return c.fail("refers to a range or to another sheet, or is not plain enough")
	}
	if c.take("(") != "" {
		return c.call(word)
	}
	switch word {
	case "TRUE", "FALSE":
		return func(env) value { return truth(word == "TRUE") }
	}
	column, row, ok := parseRef(word)
	if !ok {
		return c.fail("has the name %.20s, which the sheet does not explain", word)
	}
	return c.reference(word, column, row)
}

// reference is a cell; what has no dollar sign moves with the cell that is looked at.
func (c *compiler) reference(word string, column, row int) node {
	fixedColumn, fixedRow := word[0] == '$', strings.LastIndexByte(word, '$') > 0
	origin := c.origin
	return func(at env) value {
		x, y := column, row
		if !fixedColumn {
			x += at.column - origin.left
		}
		if !fixedRow {
			y += at.row - origin.top
		}
		return valueOf(at.sheet.cellAt(x, y))
	}
}

// call reads the arguments of a function.
func (c *compiler) call(name string) node {
	var args []node
	if c.take(")") == "" {
		for {
			args = append(args, c.comparison())
			if c.take(",") != "" {
				continue
			}
			if c.take(")") == "" {
				return c.fail("lacks a bracket")
			}
			break
		}
	}
	f, ok := functions[name]
	if !ok || len(args) < f.least || len(args) > f.most {
		return c.fail("uses %.20s, which is not worked out here", name)
	}
	if name == "SEARCH" && c.wild {
		return c.fail("searches with wildcards")
	}
	return func(at env) value { return f.run(at, args) }
}
