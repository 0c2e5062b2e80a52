package pdf

import (
	"strings"

	"solander/papers"
	"solander/papers/pdf/leaf"
)

// slip draws the packing slip.
func (p *page) slip(s papers.PackingSlip) error {
	var about []string
	if s.Outlet != "" {
		about = append(about, "sold by "+s.Outlet)
	}
	if s.Ref != "" {
		about = append(about, "reference "+s.Ref)
	}
	if s.Placed != "" {
		about = append(about, "ordered "+s.Placed)
	}
	p.begin("Order " + s.Mark + strings.Join(append([]string{""}, about...), ", "))
	if err := p.slipHead(s); err != nil {
		return err
	}
	p.slipLines(s.Lines)
	p.slipTotals(s.Totals)
	for _, o := range s.With {
		p.y += 14
		name := "In the same parcel, order " + o.Mark
		p.needUnder(name, o.Placed, 5*leading)
		p.heading(name, o.Placed)
		p.slipLines(o.Lines)
	}
	if s.Gift() {
		p.y += 14
		p.heading("A gift, with these words", "")
		p.paragraph(s.Message, italic.At(13), ink)
	}
	return nil
}

// slipHead draws the two addresses and the mark's bar code.
func (p *page) slipHead(s papers.PackingSlip) error {
	half := p.width() - 200
	top := p.y
	x, w, err := p.on.Code128(s.Mark, p.right-180, top-8, 180+leaf.Quiet, 34, 1, 1, black)
	if err != nil {
		return err
	}
	mark := p.fit(s.Mark, roman.At(9.5), 160)
	p.text(x+(w-p.measure(mark, roman.At(9.5)))/2, top+37, mark, roman.At(9.5), ink)
	to := cell{x: p.left, w: half, lines: []styled{{"To", small, soft}}}
	for _, l := range s.To {
		to.lines = append(to.lines, p.lines(l, roman, ink, half)...)
	}
	if len(s.To) > 0 {
		p.row(to)
		p.y += 6
	}
	from := cell{x: p.left, w: half, lines: []styled{{"From", small, soft}}}
	for _, l := range s.From {
		from.lines = append(from.lines, p.lines(l, small.At(9.5), ink, half)...)
	}
	p.row(from)
	p.y += 16
	return nil
}

// slipTall is how high the picture of a print is; as wide it is at most.
const slipTall = 46

// slipLines draws prints; where one has a picture, all leave room for it.
func (p *page) slipLines(lines []papers.SlipLine) {
	aside := 0.0
	for _, l := range lines {
		if w, _ := leaf.Sides(l.Picture); w > 0 {
			aside = slipTall + 12
		}
	}
	for _, l := range lines {
		p.slipLine(l, aside)
	}
}

func (p *page) slipLine(l papers.SlipLine, aside float64) {
	const label, price = 84, 90
	left := p.left + aside
	w := p.right - left - label - price - 12
	main := cell{x: left + label, w: w, lines: p.lines(l.Title, roman, ink, w)}
	main.lines = append(main.lines, p.lines(l.Facts, small, soft, w)...)
	cells := []cell{
		{x: left, w: label, lines: p.lines(l.Label, bold.At(11), ink, label-8)},
		main,
		{x: p.right - price, w: price, right: true, lines: p.lines(l.Price, small.At(9.5), ink, price)},
	}
	p.rowNeed(cells, min(aside, slipTall))
	on, under := p.f.Pages(), p.y
	if aside > 0 {
		p.picture(l.Picture, p.left, p.y-9, slipTall, slipTall)
		under += slipTall - 1
	}
	p.row(cells...)
	if p.f.Pages() == on {
		p.y = max(p.y, under)
	}
	p.y += 8
}

func (p *page) slipTotals(totals []papers.SlipTotal) {
	if len(totals) > 0 {
		p.need(float64(len(totals))*leading + 16)
		p.y += 8
	}
	for _, t := range totals {
		f := small.At(9.5)
		if t.Name == "Total" {
			f = bold.At(9.5)
		}
		p.row(
			cell{x: p.right - 210, w: 70, lines: p.lines(t.Name, f, ink, 70)},
			cell{x: p.right - 130, w: 130, right: true, lines: p.lines(t.Amount, f, ink, 130)},
		)
	}
}
