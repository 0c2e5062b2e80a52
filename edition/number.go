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

// ParseNumber reads "17", "#17", "17/250", "AP 2", "AP2/5" or "BAT". A denominator must be the one of
// the edition. "" is none. Faults: Invalid.
func ParseNumber(text string, e Edition) (Number, error) {
	s := strings.ToUpper(strings.TrimSpace(text))
	if s == "" {
		return Number{}, nil
	}
	bad := func(why string) (Number, error) {
		return Number{}, fault.Invalidf("number", "%.40q is not a number of an edition: %s", text, why).ToMend("write it like 17, 17/250 or AP 2")
	}
	n := Number{Kind: Numbered}
	for _, k := range Kinds()[1:] {
		if rest, ok := strings.CutPrefix(s, string(k)); ok {
			n.Kind, s = k, strings.TrimSpace(rest)
			break
		}
	}
	if s == "" && n.Kind != Numbered && e.Count(n.Kind) == 1 {
		s = "1"
	}
	s = strings.TrimPrefix(s, "#")
	num, den, fraction := strings.Cut(s, "/")
	v, err := strconv.Atoi(strings.TrimSpace(num))
	if err != nil {
		return bad("a whole number is missing")
	}
	n.N = v
	if fraction {
		d, err := strconv.Atoi(strings.TrimSpace(den))
		if err != nil {
			return bad("what follows the stroke is no number")
		}
		if d != e.Count(n.Kind) {
			return bad(fmt.Sprintf("this edition is of %d", e.Count(n.Kind)))
		}
	}
	return n, n.In(e)
}
