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
	p.rowNeed(cells, 0)
	for i := range tallest(cells) {
		p.need(leading)
		for _, c := range cells {
			p.cellLine(c, i)
		}
		p.y += leading
	}
}

// rowNeed opens a further page when a row of at least some height does not fit on this one and does on the next.
func (p *page) rowNeed(cells []cell, least float64) {
	if whole := max(float64(tallest(cells))*leading, least); whole < p.bottom-p.top-60 {
		p.need(whole)
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

// cellLine draws the line i of a cell at the current height.
func (p *page) cellLine(c cell, i int) {
	if c.tick && i == 0 {
		p.box(c.x, p.y)
	}
	if c.bar && i < len(c.lines) {
		p.on.Rect(c.x-9, p.y-9, 2.5, leading, accent)
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
func ticked(x float64) cell { return cell{x: x, tick: true, lines: []styled{{"", small, ink}}} }
