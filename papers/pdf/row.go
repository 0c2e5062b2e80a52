package pdf

// leading is the distance of baselines in rows.
const leading = 12.5

// styled is one line of a cell.
type styled struct {
	text string
	font font
	ink  colour
}

// cell is one column of a row: lines from x on, w wide; right sets them against its right edge; tick
// puts a box before the first line, bar an upright bar of the accent before all of them.
type cell struct {
	x, w      float64
	lines     []styled
	right     bool
	tick, bar bool
}

// lines breaks a text for a cell; none for an empty text.
func (p *page) lines(text string, f font, c colour, width float64) []styled {
	if text == "" {
		return nil
	}
	var out []styled
	for _, l := range p.wrap(text, f, width) {
		out = append(out, styled{l, f, c})
	}
	return out
}

// row draws cells side by side. It stays on one page when a page can hold it; a longer one goes on
// overleaf.
func (p *page) row(cells ...cell) {
	height := tallest(cells)
	if whole := float64(height) * leading; whole < p.bottom-p.top-60 {
		p.need(whole)
	}
	for i := range height {
		p.need(leading)
		for _, c := range cells {
			p.cellLine(c, i)
		}
		p.y += leading
	}
}

// tallest is the number of lines of a row.
func tallest(cells []cell) int {
	height := 0
	for _, c := range cells {
		height = max(height, len(c.lines))
	}
	return height
}

// needWith makes room for a heading of one line and the row beneath it, where both fit on a page.
func (p *page) needWith(cells []cell) {
	if whole := float64(tallest(cells))*leading + headed; whole < p.bottom-p.top-60 {
		p.need(whole)
	}
}

// headed is what a heading of one line takes, in points.
const headed = 10 + 17 + 3

// cellLine draws the line i of a cell at the current height.
func (p *page) cellLine(c cell, i int) {
	if c.tick && i == 0 {
		p.box(c.x, p.y)
	}
	if c.bar && i < len(c.lines) {
		p.fill(accent)
		p.f.Rect(c.x-9, p.y-9, 2.5, leading, "F")
	}
	if i >= len(c.lines) || c.lines[i].text == "" {
		return
	}
	l := c.lines[i]
	if c.right {
		p.textRight(c.x+c.w, p.y, l.text, l.font, l.ink)
		return
	}
	p.text(c.x, p.y, l.text, l.font, l.ink)
}

// ticked is a cell that is only a box to tick.
func ticked(x float64) cell { return cell{x: x, tick: true, lines: []styled{{"", sans, ink}}} }
