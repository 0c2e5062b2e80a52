package letters

import (
	"slices"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// levels returns the embedding level of every character of a line: even runs from left to right, odd from right to left.
// The first letter gives the direction of the line. It is Unicode Standard Annex 9, rules P2–P3, W1–W7, N0–N2, I1–I2 and
// L1; explicit marks of direction (X1–X10) are not among the characters of a line here.
func levels(line []rune) []uint8 {
	out := make([]uint8, len(line))
	if !turns(string(line)) {
		return out
	}
	p := paragraph{text: line, class: make([]bidi.Class, len(line))}
	for i, r := range line {
		c, _ := bidi.LookupRune(r)
		p.class[i] = c.Class()
	}
	p.first = slices.Clone(p.class)
	p.base = baseOf(p.class)
	p.weak()
	p.brackets()
	p.neutrals()
	for i, c := range p.class {
		switch even := p.base == 0; {
		case c == bidi.R && even, c == bidi.L && !even:
			out[i] = p.base + 1
		case (c == bidi.AN || c == bidi.EN) && even:
			out[i] = p.base + 2
		case c == bidi.AN || c == bidi.EN:
			out[i] = p.base + 1
		default:
			out[i] = p.base
		}
	}
	for i := len(line) - 1; i >= 0 && (p.first[i] == bidi.WS || p.first[i] == bidi.B || p.first[i] == bidi.S); i-- { // L1
		out[i] = p.base
	}
	return out
}

// turns reports whether a line holds anything that is not written from left to right.
func turns(line string) bool {
	for _, r := range line {
		if r < '\u0590' { // nothing before Hebrew
			continue
		}
		c, _ := bidi.LookupRune(r)
		if k := c.Class(); k == bidi.R || k == bidi.AL || k == bidi.AN {
			return true
		}
	}
	return false
}

// RightToLeft reports whether a paragraph is written from right to left: its first letter says so.
func RightToLeft(text string) bool {
	for _, r := range text {
		c, _ := bidi.LookupRune(r)
		switch c.Class() {
		case bidi.L:
			return false
		case bidi.R, bidi.AL:
			return true
		}
	}
	return false
}

// Directed returns a line of a paragraph so that it is set in the direction of the whole, whatever letter it begins with.
func Directed(line, paragraph string) string {
	if !turns(paragraph) {
		return line
	}
	switch to := RightToLeft(paragraph); {
	case RightToLeft(line) == to:
		return line
	case to:
		return string(rightMark) + line
	default:
		return string(leftMark) + line
	}
}

// paragraph is a line while its classes are resolved; first is what they were.
type paragraph struct {
	text         []rune
	class, first []bidi.Class
	base         uint8
}

// baseOf is P2 and P3.
func baseOf(class []bidi.Class) uint8 {
	for _, c := range class {
		switch c {
		case bidi.L:
			return 0
		case bidi.R, bidi.AL:
			return 1
		}
	}
	return 0
}

// side is the class of the line's own direction: sos and eos of the annex.
func (p *paragraph) side() bidi.Class {
	if p.base == 1 {
		return bidi.R
	}
	return bidi.L
}

// weak is W1 to W7.
func (p *paragraph) weak() {
	c := p.class
	before := p.side()
	for i := range c { // W1, and boundary neutrals as if they were not there
		if c[i] == bidi.NSM || c[i] == bidi.BN || c[i] == bidi.Control {
			c[i] = before
		}
		before = c[i]
	}
	strong := p.side()
	for i := range c { // W2
		switch c[i] {
		case bidi.L, bidi.R, bidi.AL:
			strong = c[i]
		case bidi.EN:
			if strong == bidi.AL {
				c[i] = bidi.AN
			}
		}
	}
	for i := range c { // W3
		if c[i] == bidi.AL {
			c[i] = bidi.R
		}
	}
	for i := 1; i < len(c)-1; i++ { // W4
		if same := c[i-1] == c[i+1]; same && (c[i-1] == bidi.EN && (c[i] == bidi.ES || c[i] == bidi.CS) || c[i-1] == bidi.AN && c[i] == bidi.CS) {
			c[i] = c[i-1]
		}
	}
	for i := 0; i < len(c); i++ { // W5
		if c[i] != bidi.ET {
			continue
		}
		j := i
		for j < len(c) && c[j] == bidi.ET {
			j++
		}
		if i > 0 && c[i-1] == bidi.EN || j < len(c) && c[j] == bidi.EN {
			for k := i; k < j; k++ {
				c[k] = bidi.EN
			}
		}
		i = j - 1
	}
	strong = p.side()
	for i := range c { // W6, W7
		switch c[i] {
		case bidi.ES, bidi.ET, bidi.CS:
			c[i] = bidi.ON
		case bidi.L, bidi.R:
			strong = c[i]
		case bidi.EN:
			if strong == bidi.L {
				c[i] = bidi.L
			}
		}
	}
}

// strongOf is a class as N0 to N2 see it: numbers are as letters from right to left.
func strongOf(c bidi.Class) (bidi.Class, bool) {
	switch c {
	case bidi.L:
		return bidi.L, true
	case bidi.R, bidi.EN, bidi.AN:
		return bidi.R, true
	}
	return bidi.ON, false
}

// pairs is BD16: the pairs of brackets, by where they open.
func (p *paragraph) pairs() [][2]int {
	const deepest = 63 // says the annex
	type opened struct {
		closing rune
		at      int
	}
	var stack []opened
	var out [][2]int
	for i, r := range p.text {
		b, _ := bidi.LookupRune(r)
		if p.class[i] != bidi.ON || !b.IsBracket() {
			continue
		}
		if b.IsOpeningBracket() {
			if len(stack) == deepest {
				return nil
			}
			stack = append(stack, opened{canonical(closingOf(r)), i})
			continue
		}
		for j := len(stack) - 1; j >= 0; j-- {
			if stack[j].closing == canonical(r) {
				out = append(out, [2]int{stack[j].at, i})
				stack = stack[:j]
				break
			}
		}
	}
	slices.SortFunc(out, func(a, b [2]int) int { return a[0] - b[0] })
	return out
}

// closingOf is the bracket that closes one: all brackets stand beside their partners but these.
func closingOf(r rune) rune {
	switch r {
	case '[', '{':
		return r + 2
	case '\u298D', '\u298F': // these two cross
		return map[rune]rune{'\u298D': '\u2990', '\u298F': '\u298E'}[r]
	}
	return r + 1
}

// canonical makes the two kinds of angle brackets one, as the annex asks.
func canonical(r rune) rune {
	for _, c := range norm.NFD.String(string(r)) {
		return c
	}
	return r
}

// brackets is N0.
func (p *paragraph) brackets() {
	own := p.side()
	for _, pair := range p.pairs() {
		to, found := bidi.ON, false
		for _, c := range p.class[pair[0]+1 : pair[1]] {
			if s, ok := strongOf(c); ok {
				if found, to = true, s; s == own {
					break
				}
			}
		}
		if !found {
			continue
		}
		if to != own {
			before := own
			for i := pair[0] - 1; i >= 0; i-- {
				if s, ok := strongOf(p.class[i]); ok {
					before = s
					break
				}
			}
			if before == own {
				to = own
			}
		}
		for _, at := range pair {
			p.class[at] = to
			for i := at + 1; i < len(p.class) && p.first[i] == bidi.NSM; i++ {
				p.class[i] = to
			}
		}
	}
}

// neutrals is N1 and N2.
func (p *paragraph) neutrals() {
	before := p.side()
	for i := 0; i < len(p.class); {
		if s, ok := strongOf(p.class[i]); ok {
			before = s
			i++
			continue
		}
		j := i
		after := p.side()
		for ; j < len(p.class); j++ {
			if s, ok := strongOf(p.class[j]); ok {
				after = s
				break
			}
		}
		to := p.side()
		if before == after {
			to = before
		}
		for ; i < j; i++ {
			p.class[i] = to
		}
	}
}

// visual puts things that have levels into the order in which they stand from left to right. Source: L2 of the annex.
func visual[T any](things []T, level func(T) uint8) {
	var highest uint8
	for _, t := range things {
		highest = max(highest, level(t))
	}
	at := make([]uint8, len(things))
	for i, t := range things {
		at[i] = level(t)
	}
	for l := highest; l > 0; l-- {
		for i := 0; i < len(things); i++ {
			j := i
			for j < len(things) && at[j] >= l {
				j++
			}
			if j > i {
				slices.Reverse(things[i:j])
				slices.Reverse(at[i:j])
				i = j
			}
		}
	}
}
