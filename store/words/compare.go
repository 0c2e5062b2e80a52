package words

import (
	"cmp"
	"math/bits"
	"strings"
	"unicode/utf8"
)

// Compare compares as a person sorts: without regard to case and accents first, and numbers by what they are worth, mixed
// fractions too: "5 1/4 x 7" stands before "11 1/4 x 14".
func Compare(a, b string) int { return foldedOf(a).compare(foldedOf(b)) }

// folded is a text with what it is compared by.
type folded struct{ text, fold string }

func foldedOf(text string) folded { return folded{text, Fold(text)} }

func (a folded) compare(b folded) int {
	return cmp.Or(compare(a.fold, b.fold), cmp.Compare(a.fold, b.fold), cmp.Compare(a.text, b.text))
}

// compare goes through both, token by token: a number is one, and so is any other letter. What a token is depends on its own
// text alone, so that three texts are never in a circle.
func compare(a, b string) int {
	for a != "" && b != "" {
		x, restA := next(a)
		y, restB := next(b)
		if c := x.compare(y); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

// token is a letter, or a number as a fraction of num to den.
type token struct {
	letter   rune // of a number '0', so that numbers stand among letters where digits do
	num, den uint64
}

func (x token) compare(y token) int {
	if x.letter != y.letter {
		return cmp.Compare(x.letter, y.letter)
	}
	hi1, lo1 := bits.Mul64(x.num, y.den)
	hi2, lo2 := bits.Mul64(y.num, x.den)
	return cmp.Or(cmp.Compare(hi1, hi2), cmp.Compare(lo1, lo2))
}

// next takes the first token off.
func next(s string) (token, string) {
	whole, rest, ok := readWhole(s)
	if !ok {
		r, n := utf8.DecodeRuneInString(s)
		return token{letter: r, den: 1}, s[n:]
	}
	t := token{'0', whole, 1}
	if den, after, ok := over(rest); ok { // "1/4"
		t.den, rest = den, after
	} else if after, ok := strings.CutPrefix(rest, " "); ok { // "5 1/4"
		if num, after, ok := readWhole(after); ok {
			if den, after, ok := over(after); ok {
				t.num, t.den, rest = whole*den+num, den, after
			}
		}
	}
	return t, rest
}

// over reads "/4".
func over(s string) (den uint64, rest string, ok bool) {
	s, ok = strings.CutPrefix(s, "/")
	if !ok {
		return 0, "", false
	}
	den, rest, ok = readWhole(s)
	return den, rest, ok && den > 0
}

// readWhole reads at most nine digits, so that no product of two numbers is too large; those that follow are a number of their own.
func readWhole(s string) (n uint64, rest string, ok bool) {
	i := 0
	for i < len(s) && i < 9 && s[i] >= '0' && s[i] <= '9' {
		n = n*10 + uint64(s[i]-'0')
		i++
	}
	return n, s[i:], i > 0
}
