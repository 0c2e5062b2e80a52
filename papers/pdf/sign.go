package pdf

import (
	"fmt"

	"solander/internal/qrcode"
	"solander/papers"
	"solander/papers/pdf/leaf"
)

// signList draws the sign list.
func (p *page) signList(s papers.SignList) {
	summary := "nothing to sign"
	if s.Count > 0 {
		summary = fmt.Sprintf("%d to sign. Compare each sheet with the approved proof first; number at the left, signature at the right, in pencil.", s.Count)
	}
	p.begin(summary)
	for _, e := range s.Editions {
		p.signEdition(e)
	}
	if s.Register != "" {
		p.checkpoint(s)
	}
}

// howToCheck stands beside the code of a checkpoint.
const howToCheck = "Keep this sheet. The code holds it as it was signed: scan it, and hold the register against its text under Editions, On record."

// checkpoint draws how far the register was signed, beside its code.
func (p *page) checkpoint(s papers.SignList) {
	modules, err := qrcode.Dense(s.Checkpoint)
	if err != nil { // longer than any code: it is said all the same
		p.paragraph(s.Register, small.At(8.5), soft)
		return
	}
	wide := float64(len(modules)) * leaf.Module
	p.need(wide + 10)
	top := p.y
	p.on.Modules(modules, p.left-qrcode.Quiet*leaf.Module, top, ink)
	for _, text := range []string{s.Register, howToCheck} {
		for _, line := range p.wrap(text, small.At(8.5), p.width()-wide) {
			p.y += 12
			p.text(p.left+wide, p.y, line, small.At(8.5), soft)
		}
		p.y += 4
	}
	p.y = max(p.y, top+wide)
}

// signTall is how high the picture of an edition is, which stands at the left of its rows.
const signTall = 72

func (p *page) signEdition(e papers.SignEdition) {
	aside := 0.0
	if w, h := leaf.Sides(e.Picture); w > 0 {
		aside = min(signTall*float64(w)/float64(h), signTall) + 14
	}
	var rows [][]cell
	for _, r := range e.Rows {
		rows = append(rows, p.signRow(r, aside))
	}
	name, about := e.Title, join(", ", e.Size, fmt.Sprint(len(e.Rows)))
	if len(rows) > 0 {
		p.needUnder(name, about, max(float64(tallest(rows[0]))*leading, min(aside, 1)*signTall))
	}
	p.heading(name, about)
	on, under := p.f.Pages(), p.y
	if aside > 0 {
		p.picture(e.Picture, p.left, p.y-9, aside-14, signTall)
	}
	for _, r := range rows {
		p.row(r...)
		p.y += 6
	}
	if aside > 0 && p.f.Pages() == on {
		p.y = max(p.y, under+signTall+6)
	}
}

func (p *page) signRow(r papers.SignRow, aside float64) []cell {
	const tick, label, mark, due = 16, 110, 58, 130
	buyer := p.width() - aside - tick - label - mark - due - 16
	left := p.left + aside
	x := left + tick
	return []cell{
		ticked(left),
		{x: x, w: label, lines: p.lines(r.Label, bold.At(11), ink, label-6)},
		{x: x + label, w: buyer, lines: p.lines(r.Buyer, small.At(9.5), ink, buyer)},
		{x: x + label + buyer + 8, w: mark, lines: p.lines(r.Mark, bold, ink, mark-4)},
		{x: p.right - due, w: due, lines: p.lines(timing(r.Timing, r.Late), timingFont(r.Late), timingInk(r.Late), due)},
	}
}
