package pdf

import (
	"fmt"

	"solander/papers"
)

// signList draws the sign list.
func (p *page) signList(s papers.SignList) {
	summary := "nothing to sign"
	if s.Count > 0 {
		summary = fmt.Sprintf("%d to sign. Compare each sheet with the approved proof first; number at the left, signature at the right, in pencil.", s.Count)
	}
	p.begin(summary)
	for _, e := range s.Editions {
		p.heading(e.Title, join(", ", e.Size, fmt.Sprint(len(e.Rows))))
		for _, r := range e.Rows {
			p.signRow(r)
		}
	}
}

func (p *page) signRow(r papers.SignRow) {
	const tick, label, mark, timing = 16, 110, 58, 150
	buyer := p.width() - tick - label - mark - timing - 16
	x := p.left + tick
	p.row(
		ticked(p.left),
		cell{x: x, w: label, lines: p.lines(r.Label, serif.at(13), ink, label-6)},
		cell{x: x + label, w: buyer, lines: p.lines(r.Buyer, sans.at(9.5), ink, buyer)},
		cell{x: x + label + buyer + 8, w: mark, lines: p.lines(r.Mark, bold, ink, mark-4)},
		cell{x: p.right - timing, w: timing, lines: p.lines(r.Timing, timingFont(r.Late), timingInk(r.Late), timing)},
	)
	p.y += 6
}
