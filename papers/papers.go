// Package papers knows what stands on each paper of the bench: bench sheet, sign list, packing slip,
// address label, hand-over list, cutting list; papers/wrap knows the wrap sheet. It is pure: it draws nothing and
// reads no clock; papers/pdf draws.
//
// A paper holds words and quantities as the reader sees them, in the studio's units. A paper of
// the house carries the warnings of the plan it comes from, such as a price card that has ended; what leaves the
// house does not.
package papers

import (
	"slices"
	"strings"

	"solander/calendar"
	"solander/measure"
)

// Head is what every paper begins with.
type Head struct {
	Studio string
	Day    calendar.Day // for which it was made; it dates the file too
	Units  measure.System
}

// Paper is any of the papers of this package.
type Paper interface {
	// Title names the paper: "Sign list".
	Title() string
	// Top returns its head.
	Top() Head
}

// Bundle is several papers as one file, in their order.
type Bundle struct {
	Head
	Name string // "Packing slips"
	Of   []Paper
}

// Title names it.
func (b Bundle) Title() string { return b.Name }

// Top returns the head.
func (h Head) Top() Head { return h }

// Once returns the texts without the empty ones and without repetition, in their order.
func Once(texts []string) []string {
	var out []string
	for _, t := range texts {
		if t != "" && !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	return out
}

// Sides prints lengths as one size, exactly: "12 × 16 in"; each with its own unit where they differ.
func Sides(s measure.System, sides ...measure.Length) string {
	return times(sides, func(l measure.Length) string { return l.In(s) })
}

// About prints lengths as one size, rounded for reading.
func About(s measure.System, sides ...measure.Length) string {
	return times(sides, func(l measure.Length) string { return l.About(s) })
}

func times(sides []measure.Length, printed func(measure.Length) string) string {
	texts := make([]string, len(sides))
	same := true
	for i, l := range sides {
		texts[i] = printed(l)
		same = same && unit(texts[i]) == unit(texts[0])
	}
	for i := range texts {
		if same && i < len(texts)-1 {
			texts[i] = strings.TrimSuffix(texts[i], " "+unit(texts[i]))
		}
	}
	return strings.Join(texts, " × ")
}

// unit returns the last word of a printed length.
func unit(text string) string { return text[strings.LastIndexByte(text, ' ')+1:] }
