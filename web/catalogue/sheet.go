package catalogue

import (
	"fmt"
	"strings"

	"solander/edition"
	"solander/register"
	"solander/studio"
	"solander/web/page"
)

// kindSheet is the contact sheet of one kind of impression.
type kindSheet struct {
	Head   string
	Proofs bool
	Says   string // "3 sold, 2 unsold"
	Spots  []spot
	Parts  []rangeTab // when it is drawn in parts
}

// spot is a place on the sheet: a number, or a run of free ones.
type spot struct {
	cell
	Run   bool
	Class string // of a run: how much room it takes
	Last  cell
	Free  int
}

// cell is one number on the sheet.
type cell struct {
	Text  string // "17", "AP 2"
	State edition.State
	Link  string
	Full  string // "17/250, sent, Ada Quill"
}

// rangeTab leads to a part of a large edition.
type rangeTab struct {
	To, Text string
	Here     bool
}

// Runs of free numbers: shorter ones than shortestRun are drawn number by number, and so is a range that was asked for
// of at most drawnWhole numbers.
const (
	shortestRun = 4
	drawnWhole  = 200
)

var kindHeads = map[edition.Kind]string{
	edition.Numbered: "Numbers", edition.AP: "Artist's proofs", edition.PP: "Printer's proofs", edition.HC: "Hors commerce", edition.BAT: "Bon à tirer",
}

func kindHead(k edition.Kind) string { return kindHeads[k] }

// sheetOf lays out what is drawn, kind by kind.
func sheetOf(v register.Sheet, a register.Asked) []kindSheet {
	var out []kindSheet
	for _, k := range v.Kinds {
		ks := kindSheet{Head: kindHead(k.Kind), Proofs: k.Kind != edition.Numbered, Says: saysOf(v.Lots[k.Kind])}
		l := layout{ed: v.Edition, kind: k.Kind, asked: a, whole: (a.From > 0 || a.To > 0) && k.Last-k.First < drawnWhole}
		next := k.First
		for _, row := range k.Rows {
			if k.Gaps {
				l.free(next, row.Number.N-1)
			}
			if l.wanted(row) {
				l.spots = append(l.spots, spot{cell: cellOf(v.Edition, row)})
			}
			next = row.Number.N + 1
		}
		if k.Gaps {
			l.free(next, k.Last)
		}
		ks.Spots, ks.Parts = l.spots, partsOf(v.ID, k, a)
		if len(ks.Spots) > 0 {
			out = append(out, ks)
		}
	}
	return out
}

// layout is a sheet while it is laid out.
type layout struct {
	ed    edition.Edition
	kind  edition.Kind
	asked register.Asked
	whole bool // number by number
	spots []spot
}

// wanted reports whether a number that is not free is asked for: rows stand between the gaps even where only the gaps are.
func (l *layout) wanted(row studio.NumberRow) bool {
	return (l.asked.State == "" || row.Standing.State == l.asked.State) && (l.asked.Lot == "" || row.Standing.Lot() == l.asked.Lot) &&
		(!l.asked.Loose || row.Standing.Loose())
}

// free draws the free numbers of a gap: as a run, or number by number.
func (l *layout) free(from, to int) {
	at := func(n int) cell {
		return cellOf(l.ed, studio.NumberRow{Number: edition.Number{Kind: l.kind, N: n}, Standing: edition.FreshStanding()})
	}
	n := to - from + 1
	if l.whole || n < shortestRun {
		for i := from; i <= to; i++ {
			l.spots = append(l.spots, spot{cell: at(i)})
		}
		return
	}
	class := "long"
	switch {
	case n < 12:
		class = "brief"
	case n < 60:
		class = "middling"
	}
	l.spots = append(l.spots, spot{cell: at(from), Run: true, Class: class, Last: at(to), Free: n})
}

// saysOf adds up one kind: "3 sold, 2 unsold".
func saysOf(lots map[edition.Lot]int) string {
	var out []string
	for _, lot := range edition.Lots() {
		if lots[lot] > 0 {
			out = append(out, fmt.Sprint(lots[lot], " ", lotWords[lot]))
		}
	}
	return strings.Join(out, ", ")
}

func partsOf(ed int64, k register.SheetKind, a register.Asked) []rangeTab {
	var out []rangeTab
	for i, from := range k.Starts {
		a.At = from
		text := fmt.Sprintf("from %d", from)
		if i+1 < len(k.Starts) {
			text = fmt.Sprintf("%d to %d", from, k.Starts[i+1]-1)
		}
		out = append(out, rangeTab{address(ed, a), text, from == k.First})
	}
	return out
}

func cellOf(e edition.Edition, n studio.NumberRow) cell {
	c := cell{
		Text: n.Number.String(), State: n.Standing.State,
		Link: fmt.Sprintf("/editions/%d/numbers/%s", e.ID, page.NumberPath(n.Number)),
	}
	c.Full = n.Number.Of(e) + ", " + page.StateWords[c.State]
	if n.Buyer != "" {
		c.Full += ", " + n.Buyer
	}
	return c
}
