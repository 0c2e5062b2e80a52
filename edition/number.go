package edition

import (
	"fmt"
	"strconv"
	"strings"

	"solander/fault"
)

// Kind tells the numbered impressions of an edition and its proofs apart.
type Kind string

// The kinds. Numbered is part of N; the others stand beside it with counts of their own.
const (
	Numbered Kind = "N"
	AP       Kind = "AP"  // artist's proof (épreuve d'artiste)
	PP       Kind = "PP"  // printer's proof
	HC       Kind = "HC"  // hors commerce
	BAT      Kind = "BAT" // bon à tirer
)

// Kinds returns all kinds, the numbered impressions first.
func Kinds() []Kind { return []Kind{Numbered, AP, PP, HC, BAT} }

// Long names the kind in words.
func (k Kind) Long() string {
	return map[Kind]string{Numbered: "numbered impression", AP: "artist's proof", PP: "printer's proof", HC: "hors commerce", BAT: "bon à tirer"}[k]
}

// Number names one impression within its edition. The zero Number is "none" (as in an open edition).
type Number struct {
	Kind Kind `json:"kind"`
	N    int  `json:"n"`
}

// IsZero reports "none".
func (n Number) IsZero() bool { return n == Number{} }

// Of prints the number as it is written on the sheet: "17/250", "AP 2/5"; "" for none.
func (n Number) Of(e Edition) string {
	if n.IsZero() {
		return ""
	}
	f := fmt.Sprintf("%d/%d", n.N, e.Count(n.Kind))
	if n.Kind == Numbered {
		return f
	}
	return string(n.Kind) + " " + f
}

// String prints "17" or "AP 2".
func (n Number) String() string {
	switch {
	case n.IsZero():
		return ""
	case n.Kind == Numbered:
		return strconv.Itoa(n.N)
	}
	return string(n.Kind) + " " + strconv.Itoa(n.N)
}

// In checks that the edition has this number. Faults: Invalid.
func (n Number) In(e Edition) error {
	switch c := e.Count(n.Kind); {
	case e.Open():
		return fault.Invalidf("number", "an open edition has no numbers").ToMend("leave the number empty")
	case n.Kind.Long() == "":
		return fault.Invalidf("number", "%.20q is not a kind of number", string(n.Kind)).ToMend("use N, AP, PP, HC or BAT")
	case c == 0:
		return fault.Invalidf("number", "this edition has no %s", n.Kind.Long()).ToMend("choose one of its numbers 1 to %d", e.Limit)
	case n.N < 1 || n.N > c:
		return fault.Invalidf("number", "%s is beyond the limit of this edition", n).ToMend("choose %s", rangeOf(n.Kind, c))
	}
	return nil
}

func rangeOf(k Kind, c int) string {
	if k == Numbered {
		return fmt.Sprintf("1 to %d", c)
	}
	return fmt.Sprintf("%s 1 to %s %d", k, k, c)
}

// ParseNumber reads "17", "#17", "17/250", "AP 2" or "AP2/5", and a kind alone, such as "BAT", where the
// edition has just one of it. Digits are 0 to 9, without sign. A denominator must be the one of the
// edition. "" is none. Faults: Invalid.
func ParseNumber(text string, e Edition) (Number, error) {
	s := strings.ToUpper(strings.TrimSpace(text))
	switch {
	case s == "":
		return Number{}, nil
	case e.Open():
		return Number{}, fault.Invalidf("number", "an open edition has no numbers").ToMend("leave the number empty")
	}
	n, s := kindOf(s)
	if s == "" && e.Count(n.Kind) <= 1 {
		s = "1"
	}
	of, err := 0, error(nil)
	if n.N, of, err = written(text, s); err != nil {
		return Number{}, err
	}
	if of >= 0 && of != e.Count(n.Kind) {
		return Number{}, notNumber(text, fmt.Sprintf("this edition is of %d", e.Count(n.Kind)))
	}
	if err := n.In(e); err != nil {
		return Number{}, err
	}
	return n, nil
}

// Readable looks at how a number is written, of whatever edition: see ParseNumber. A kind alone is one of it. Faults: Invalid.
func Readable(text string) error {
	k, s := kindOf(strings.ToUpper(strings.TrimSpace(text)))
	if s == "" && (k.Kind != Numbered || strings.TrimSpace(text) == "") {
		return nil
	}
	_, _, err := written(text, s)
	return err
}

// written reads what stands behind the kind: a number, and what it is of; -1 when that is not written.
func written(text, s string) (n, of int, err error) {
	num, den, fraction := strings.Cut(strings.TrimPrefix(s, "#"), "/")
	n, ok := whole(num)
	switch {
	case !ok:
		return 0, 0, notNumber(text, "a whole number is missing")
	case n == tooLarge:
		return 0, 0, notNumber(text, "it is far beyond the limit")
	case !fraction:
		return n, -1, nil
	}
	if of, ok = whole(den); !ok {
		return 0, 0, notNumber(text, "what follows the stroke is no number")
	}
	return n, of, nil
}

// kindOf takes the kind off; without one it is a numbered impression.
func kindOf(s string) (Number, string) {
	for _, k := range Kinds()[1:] {
		if rest, ok := strings.CutPrefix(s, string(k)); ok {
			return Number{Kind: k}, strings.TrimSpace(rest)
		}
	}
	return Number{Kind: Numbered}, s
}

// whole reads digits; a number that no edition can have is read as tooLarge.
func whole(s string) (n int, ok bool) {
	s = strings.TrimSpace(s)
	if s == "" || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	if err != nil || n > tooLarge {
		n = tooLarge
	}
	return n, true
}

const tooLarge = 1_000_000_000 // beyond MaxLimit and MaxProofs

func notNumber(text, why string) error {
	return fault.Invalidf("number", "%.40q is not a number of an edition: %s", text, why).ToMend("write it like 17, 17/250 or AP 2")
}
