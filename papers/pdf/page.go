package pdf

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"solander/letters"
	"solander/papers"
	"solander/papers/pdf/leaf"
	"solander/papers/wrap"
)

// page draws one paper. y is where the next thing is drawn, in points from the top.
type page struct {
	f           *leaf.File
	on          *leaf.Page // the page that is drawn on
	first       int        // of the paper's pages in the file
	head        papers.Head
	title       string
	wide, tall  float64
	left, right float64
	top, bottom float64
	y           float64
	fresh       float64 // where the first thing of this page is drawn
	missing     map[rune]bool
	unprinted   []error           // why some of a paper is left out
	pictures    map[string][]byte // of prints in drawings
}

func (p *page) width() float64 { return p.right - p.left }

// clean is clean, noting what the fonts lack.
func (p *page) clean(text string) string {
	s, missing := letters.Clean(text)
	for _, r := range missing {
		p.missing[r] = true
	}
	return s
}

// measure returns the width in points of a line that is clean already.
func (p *page) measure(line string, f font) float64 { return p.f.Width(line, f) }

// text draws one line with its baseline at y.
func (p *page) text(x, y float64, line string, f font, c colour) {
	p.on.Text(x, y, p.clean(line), f, c)
}

// textRight draws one line that ends at x.
func (p *page) textRight(x, y float64, line string, f font, c colour) {
	line = p.clean(line)
	p.on.Text(x-p.measure(line, f), y, line, f, c)
}

// wrap breaks a text into lines no wider than width.
func (p *page) wrap(text string, f font, width float64) []string {
	var out []string
	for par := range strings.SplitSeq(p.clean(text), "\n") {
		out = append(out, p.f.Lines(par, f, width)...)
	}
	return out
}

// begin opens the first page: the studio, the day, the paper's title, a line on it, and the one rule.
func (p *page) begin(summary string) {
	p.open()
	p.text(p.left, p.y+22, p.title, roman.At(24), ink)
	p.y += 38
	for _, line := range p.wrap(summary, small.At(9.5), p.width()) {
		if line != "" {
			p.text(p.left, p.y, line, small.At(9.5), soft)
			p.y += 13
		}
	}
	p.rule(p.y-4, ink)
	p.y += 14
	p.fresh = p.y
}

// open starts a page with its head.
func (p *page) open() {
	p.sheet()
	p.on.Rect(p.left, p.y-6.5, 6.5, 6.5, accent)
	day := p.head.Day.Long()
	room := p.width() - 12 - p.measure(day, italic.At(9.5)) - 20
	p.text(p.left+12, p.y, p.fit(p.head.Studio, bold, room), bold, ink)
	p.textRight(p.right, p.y, day, italic.At(9.5), soft)
	p.y += 14
}

// sheet starts an empty page.
func (p *page) sheet() {
	p.on = p.f.Page(p.wide, p.tall)
	p.y = p.top
}

// footOf names a paper at the foot of its pages: with the order's mark, so that a leaf that fell out is found again.
func (p *page) footOf(paper papers.Paper) string {
	mark := ""
	switch x := paper.(type) {
	case papers.PackingSlip:
		mark = x.Mark
	case wrap.Sheet:
		mark = x.Mark
	}
	if mark == "" {
		return p.title
	}
	return p.title + ", " + p.fit(mark, small.At(8), p.width()/2)
}

// feet writes below each page of the paper which of how many it is, when all are there.
func (p *page) feet(name string) {
	last := p.f.Pages()
	for i := p.first; i < last; i++ {
		p.on = p.f.At(i)
		p.textRight(p.right, p.bottom+24, fmt.Sprintf("%s, page %d of %d", name, i-p.first+1, last-p.first), small.At(8), soft)
	}
}

// fit returns the first line of a text in the room, with an ellipsis when there is more of it. Only the
// running head and foot use it: everything else is broken into lines.
func (p *page) fit(text string, f font, room float64) string {
	lines := p.wrap(text, f, room)
	if len(lines) == 1 {
		return lines[0]
	}
	first := p.f.Clusters(lines[0])
	for len(first) > 0 && p.measure(strings.Join(first, "")+"…", f) > room {
		first = first[:len(first)-1]
	}
	return strings.Join(first, "") + "…"
}

// next opens a further page.
func (p *page) next() {
	p.open()
	p.rule(p.y-6, ink)
	p.y += 12
	p.fresh = p.y
}

// need opens a further page unless so much height is left.
func (p *page) need(height float64) {
	if p.y+height > p.bottom {
		p.next()
	}
}

// picture draws a picture in a box with a hairline round it, so that a pale one has an edge.
func (p *page) picture(jpeg []byte, x, y, w, h float64) {
	pw, ph := leaf.Sides(jpeg)
	if pw == 0 {
		return
	}
	scale := min(w/float64(pw), h/float64(ph))
	pictured, tall := float64(pw)*scale, float64(ph)*scale
	p.on.Picture(jpeg, x, y, pictured, tall, false)
	p.on.Pen(hair, 0.4)
	p.on.Frame(x, y, pictured, tall)
}

// rule draws the thin rule.
func (p *page) rule(y float64, c colour) {
	p.on.Pen(c, 0.5)
	p.on.Line(p.left, y, p.right, y)
}

// box draws a box to tick beside a baseline.
func (p *page) box(x, baseline float64) {
	p.on.Pen(ink, 0.7)
	p.on.Frame(x, baseline-7.6, 8.5, 8.5)
}

// heading is a heading broken into lines: the name of a part at the left, what is said of it at the right.
type heading struct {
	name  []string
	aside []styled
}

var headType = italic.At(14)

func (p *page) headOf(name, aside string) heading {
	room := p.width()
	if aside = p.clean(aside); aside != "" {
		room -= min(p.measure(aside, small), p.width()/2) + 12
	}
	return heading{p.wrap(name, headType, room), p.lines(aside, small, soft, p.width()-room)}
}

// tall is how much height a heading takes.
func (h heading) tall() float64 {
	return 12 + max(float64(len(h.name))*17, float64(len(h.aside))*leading)
}

// needUnder makes room for a heading and the first thing below it, where both fit on a page: no heading stands alone at
// the foot of one.
func (p *page) needUnder(name, aside string, below float64) {
	h := p.headOf(name, aside).tall()
	p.need(min(h+below, max(h, p.bottom-p.top-60)))
}

// headed draws a heading with room for the first row below it.
func (p *page) headed(name, aside string, first []cell) {
	p.needUnder(name, aside, float64(tallest(first))*leading)
	p.heading(name, aside)
}

// heading draws a heading under a thin rule and keeps room for a line or two below it.
func (p *page) heading(name, aside string) {
	h := p.headOf(name, aside)
	p.need(h.tall() + 2*leading)
	if p.y > p.fresh { // not where the rule of the page's head stands just above
		p.rule(p.y-5, hair)
	}
	p.y += 10
	for i, l := range h.aside {
		p.textRight(p.right, p.y+float64(i)*leading, l.text, l.font, l.ink)
	}
	for i, l := range h.name {
		p.text(p.left, p.y+float64(i)*17, l, headType, ink)
	}
	p.y += h.tall() - 9
}

// paragraph draws a text over the whole width; what is written from right to left begins at the right.
func (p *page) paragraph(text string, f font, c colour) {
	before := false
	for _, line := range p.wrap(text, f, p.width()) {
		step, tall := f.Size+3.5, letters.Tall(line)
		if tall || before {
			step = f.Size * 1.7
		}
		before = tall
		p.need(step)
		p.y += step - f.Size - 3.5
		if letters.RightToLeft(line) {
			p.textRight(p.right, p.y, line, f, c)
		} else {
			p.text(p.left, p.y, line, f, c)
		}
		p.y += f.Size + 3.5
	}
}

// warnings draws the warnings of a plan, each behind a bar of the accent and the word itself.
func (p *page) warnings(texts []string) {
	for _, t := range texts {
		p.row(cell{x: p.left + 10, w: p.width() - 10, lines: p.lines("Warning: "+t, bold, ink, p.width()-10), bar: true})
	}
	if len(texts) > 0 {
		p.y += 6
	}
}

// notice says, at the end of a paper, which characters could not be printed.
func (p *page) notice() {
	if len(p.missing) == 0 {
		return
	}
	var codes, scripts []string
	for _, r := range slices.Sorted(maps.Keys(p.missing)) {
		codes = append(codes, fmt.Sprintf("U+%04X", r))
		if s := letters.Script(r); !slices.Contains(scripts, s) {
			scripts = append(scripts, s)
		}
	}
	const most = 24
	if extra := len(codes) - most; extra > 0 {
		codes = append(codes[:most], fmt.Sprintf("and %d more", extra))
	}
	p.need(40)
	p.y += 12
	p.paragraph(fmt.Sprintf("%s stands for characters that this paper's type lacks (%s: %s). Write them in by hand from the order.", letters.Gap, strings.Join(scripts, ", "), strings.Join(codes, ", ")), bold, ink)
}
