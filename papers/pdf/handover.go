package pdf

import (
	"fmt"

	"solander/papers"
)

// handOver draws the hand-over list.
func (p *page) handOver(l papers.HandOverList) {
	summary := "1 parcel"
	if len(l.Rows) != 1 {
		summary = fmt.Sprintf("%d parcels", len(l.Rows))
	}
	if l.Total != "" {
		summary += ", postage " + l.Total
	}
	p.begin(summary)
	if l.Note != "" {
		p.paragraph(l.Note, italic, ink)
		p.y += 8
	}
	for _, r := range l.Rows {
		p.handOverRow(r)
	}
	p.serviceSums(l)
	p.signature()
}

func (p *page) handOverRow(r papers.HandOverRow) {
	const tick, mark, service, postage = 16, 58, 170, 74
	to := p.width() - tick - mark - service - postage - 16
	x := p.left + tick
	by := p.lines(r.Service, small, ink, service)
	number := r.Tracking
	if number == "" {
		number = "no tracking number"
	}
	by = append(by, p.lines(number, roman.At(8.5), ink, service)...)
	if r.Tracking != "" && r.Verified == "" {
		by = append(by, p.lines("check digit not verified", small.At(7.5), soft, service)...)
	}
	p.row(
		ticked(p.left),
		cell{x: x, w: mark, lines: p.lines(r.Mark, bold, ink, mark-4)},
		cell{x: x + mark, w: to, lines: p.lines(r.To, roman, ink, to)},
		cell{x: x + mark + to + 8, w: service, lines: by},
		cell{x: p.right - postage, w: postage, right: true, lines: p.lines(r.Postage, small, ink, postage)},
	)
	p.y += 6
}

func (p *page) serviceSums(l papers.HandOverList) {
	if len(l.Services) == 0 {
		return
	}
	p.heading("Totals", "")
	line := func(name, count, sum string, f font) {
		w := p.width() - 180
		p.row(
			cell{x: p.left, w: w, lines: p.lines(name, f, ink, w)},
			cell{x: p.right - 170, w: 40, right: true, lines: []styled{{count, f, ink}}},
			cell{x: p.right - 120, w: 120, right: true, lines: p.lines(sum, f, ink, 120)},
		)
	}
	for _, s := range l.Services {
		line(s.Service, fmt.Sprint(s.Parcels), s.Postage, small.At(9.5))
	}
	line("All", fmt.Sprint(len(l.Rows)), l.Total, bold.At(9.5))
}

// signature draws the lines for who took the parcels.
func (p *page) signature() {
	p.need(70)
	p.y += 48
	p.on.Pen(ink, 0.5)
	p.on.Line(p.left, p.y, p.left+290, p.y)
	p.on.Line(p.left+310, p.y, p.right, p.y)
	p.text(p.left, p.y+11, "received by (name and signature)", small.At(7.5), soft)
	p.text(p.left+310, p.y+11, "day and time", small.At(7.5), soft)
	p.y += 20
}
