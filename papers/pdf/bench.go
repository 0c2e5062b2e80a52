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
		p.paragraph("Nothing is to be done.", roman, ink)
	}
	for _, sec := range s.Sections {
		for i, r := range sec.Rows {
			cells := p.benchCells(r)
			if i == 0 {
				p.headed(sec.Name, fmt.Sprint(len(sec.Rows)), cells)
			}
			p.row(cells...)
			p.y += 5
		}
	}
}

func (p *page) benchCells(r papers.Row) []cell {
	const tick, mark, due = 16, 54, 146
	main := cell{x: p.left + tick + mark, w: p.width() - tick - mark - due - 12}
	if r.Mark == "" {
		main.x, main.w = p.left+tick, main.w+mark
	}
	main.lines = p.lines(r.What, roman, ink, main.w)
	main.lines = append(main.lines, p.lines(r.Why, small, soft, main.w)...)
	if r.Blocked != "" {
		main.lines = append(main.lines, p.lines("Not yet: "+r.Blocked, italic, ink, main.w)...)
	}
	for _, d := range r.Detail {
		for i, l := range p.wrap(d, small, main.w-10) {
			lead := "– "
			if i > 0 {
				lead = "   "
			}
			main.lines = append(main.lines, styled{lead + l, small, ink})
		}
	}
	side := cell{x: p.right - due, w: due}
	side.lines = append(p.lines(r.Who, small, ink, due), p.lines(timing(r.Timing, r.Late), timingFont(r.Late), timingInk(r.Late), due)...)
	cells := []cell{main, side, {x: p.left + tick, w: mark - 4, lines: p.lines(r.Mark, bold, ink, mark-4)}}
	if r.Blocked == "" {
		cells = append(cells, ticked(p.left))
	}
	if r.Late {
		cells = append(cells, cell{x: p.left, bar: true, lines: make([]styled, max(len(main.lines), len(side.lines)))})
	}
	return cells
}

// timing marks what is late with the sign that the screen gives it; it is set bold too, and the words say it.
func timing(text string, late bool) string {
	if late {
		return "▲ " + text
	}
	return text
}

func timingFont(late bool) font {
	if late {
		return bold
	}
	return small
}

func timingInk(late bool) colour {
	if late {
		return ink
	}
	return soft
}
