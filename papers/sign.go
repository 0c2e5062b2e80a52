package papers

import (
	"cmp"
	"slices"
	"strings"

	"solander/bench"
)

// SignList is what to sign and number, edition by edition, with a box to tick for each sheet.
type SignList struct {
	Head
	Count      int
	Editions   []SignEdition
	Register   string // how far the register was signed, shortly; "" = nothing was yet
	Checkpoint string // the same as it was signed, to be read from a code
}

// Title names the paper.
func (SignList) Title() string { return "Sign list" }

// SignEdition is one edition's sheets to sign.
type SignEdition struct {
	Title   string
	Size    string
	Picture []byte // JPEG; nil = none
	Rows    []SignRow
}

// SignRow is one sheet: Label is what is written on it, "17/250", or "open edition".
type SignRow struct {
	Label  string
	Buyer  string
	Mark   string
	Timing string
	Late   bool
}

// Sign returns the sign list of a day's bench: the editions by title and size, so that each stack is
// taken out of the drawer once; within an edition in the bench's order.
// pictures are JPEG, by edition; those that are lacking are left out.
func Sign(h Head, l bench.List, pictures map[int64][]byte) SignList {
	s := SignList{Head: h}
	at := make(map[int64]int)
	for _, t := range l.Groups[bench.SignPrints] {
		i, ok := at[t.Edition]
		if !ok {
			i = len(s.Editions)
			at[t.Edition] = i
			s.Editions = append(s.Editions, SignEdition{Title: t.Title, Size: t.Size, Picture: pictures[t.Edition]})
		}
		s.Editions[i].Rows = append(s.Editions[i].Rows, SignRow{t.Label, t.Buyer, t.Mark, t.Timing, t.Late > 0})
		s.Count++
	}
	slices.SortStableFunc(s.Editions, func(a, b SignEdition) int {
		return cmp.Or(strings.Compare(a.Title, b.Title), strings.Compare(a.Size, b.Size))
	})
	return s
}
