package pdf

import (
	"fmt"

	"solander/papers"
)

// bench draws the bench sheet.
func (p *page) bench(s papers.BenchSheet) {
	p.begin(s.Summary)
	p.warnings(s.Warnings)
	if len(s.Sections) == 0 {
		p.paragraph("Nothing is to be done.", serif, ink)
	}
	for _, sec := range s.Sections {
		for i, r := range sec.Rows {
			cells := p.benchCells(r)
			if i == 0 { // no heading stands alone at the foot of a page
				p.needWith(cells)
				p.heading(sec.Name, fmt.Sprint(len(sec.Rows)))
			}
			p.row(cells...)
			p.y += 5
		}
	}
}

func (p *page) benchCells(r papers.Row) []cell {
	const tick, mark, timing = 16, 58, 132
	main := cell{x: p.left + tick + mark, w: p.width() - tick - mark - timing - 12}
	if r.Mark == "" {
		main.x, main.w = p.left+tick, main.w+mark
	}
	main.lines = p.lines(r.What, serif, ink, main.w)
	main.lines = append(main.lines, p.lines(r.Why, sans, grey, main.w)...)
	if r.Blocked != "" {
		main.lines = append(main.lines, p.lines("Not yet: "+r.Blocked, italic, ink, main.w)...)
	}
	for _, d := range r.Detail {
		for i, l := range p.wrap(d, sans, main.w-10) {
			lead := "– "
			if i > 0 {
				lead = "   "
			}
			main.lines = append(main.lines, styled{lead + l, sans, ink})
		}
	}
	side := cell{x: p.right - timing, w: timing}
	side.lines = append(p.lines(r.Who, sans, ink, timing), p.lines(r.Timing, timingFont(r.Late), timingInk(r.Late), timing)...)
	cells := []cell{main, side, {x: p.left + tick, w: mark - 4, lines: p.lines(r.Mark, bold, ink, mark-4)}}
	if r.Blocked == "" {
		cells = append(cells, ticked(p.left))
	}
	if r.Late {
		cells = append(cells, cell{x: p.left, bar: true, lines: make([]styled, max(len(main.lines), len(side.lines)))})
	}
	return cells
}

// What is late is set bold and in the accent, and the words say it too.
func timingFont(late bool) font {
	if late {
		return bold
	}
	return sans
}

func timingInk(late bool) colour {
	if late {
		return accent
	}
	return grey
}
