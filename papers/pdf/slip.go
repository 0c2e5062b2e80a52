package pdf

import (
	"strings"

	"solander/papers"
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
	for _, l := range s.Lines {
		p.slipLine(l)
	}
	p.slipTotals(s.Totals)
	for _, o := range s.With {
		p.y += 14
		p.heading("In the same parcel, order "+o.Mark, o.Placed)
		for _, l := range o.Lines {
			p.slipLine(l)
		}
	}
	if s.Gift() {
		p.y += 14
		p.heading("A gift, with these words", "")
		p.paragraph(s.Message, italic.at(13), ink)
	}
	return nil
}

// slipHead draws the two addresses and the mark's bar code.
func (p *page) slipHead(s papers.PackingSlip) error {
	half := p.width() - 200
	top := p.y
	w, err := p.code128(s.Mark, p.right-180, top-8, 180, 34, 1)
	if err != nil {
		return err
	}
	mark := p.fit(s.Mark, mono, 180)
	p.text(p.right-180+(w-p.measure(mark, mono))/2, top+36, mark, mono, ink)
	to := cell{x: p.left, w: half, lines: []styled{{"To", sans, grey}}}
	for _, l := range s.To {
		to.lines = append(to.lines, p.lines(l, serif, ink, half)...)
	}
	if len(s.To) > 0 {
		p.row(to)
		p.y += 6
	}
	from := cell{x: p.left, w: half, lines: []styled{{"From", sans, grey}}}
	for _, l := range s.From {
		from.lines = append(from.lines, p.lines(l, sans.at(9.5), ink, half)...)
	}
	p.row(from)
	p.y += 16
	return nil
}

func (p *page) slipLine(l papers.SlipLine) {
	const label, price = 96, 90
	w := p.width() - label - price - 12
	main := cell{x: p.left + label, w: w, lines: p.lines(l.Title, serif, ink, w)}
	main.lines = append(main.lines, p.lines(l.Facts, sans, grey, w)...)
	p.row(
		cell{x: p.left, w: label, lines: p.lines(l.Label, serif.at(13), ink, label-8)},
		main,
		cell{x: p.right - price, w: price, right: true, lines: p.lines(l.Price, sans.at(9.5), ink, price)},
	)
	p.y += 8
}

func (p *page) slipTotals(totals []papers.SlipTotal) {
	if len(totals) > 0 {
		p.need(float64(len(totals))*leading + 16)
		p.y += 8
	}
	for _, t := range totals {
		f := sans.at(9.5)
		if t.Name == "Total" {
			f = bold.at(9.5)
		}
		p.row(
			cell{x: p.right - 210, w: 70, lines: p.lines(t.Name, f, ink, 70)},
			cell{x: p.right - 130, w: 130, right: true, lines: p.lines(t.Amount, f, ink, 130)},
		)
	}
}
