package pdf

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"codeberg.org/go-pdf/fpdf"

	"solander/letters"
	"solander/papers"
)

// colour is red, green, blue.
type colour [3]int

// Ink on paper and one accent; all three stay apart in black and white.
var (
	ink    = colour{26, 24, 22}
	grey   = colour{96, 92, 86}
	accent = colour{142, 40, 28}
)

// page draws one file. y is where the next thing is drawn, in points from the top.
type page struct {
	f           *fpdf.Fpdf
	head        papers.Head
	title       string
	total       int // pages in all; 0 while they are counted
	left, right float64
	top, bottom float64
	y           float64
	now         font // in use
	missing     map[rune]bool
}

func (p *page) width() float64 { return p.right - p.left }

// use sets a font, embedding its face at its first use. Setting one writes to the file, so the font in
// use is not set again.
func (p *page) use(f font) {
	if p.now == f {
		return
	}
	p.now = f
	if p.f.GetFontDesc(f.family, f.style).Ascent == 0 {
		p.f.AddUTF8FontFromBytes(f.family, f.style, letters.Faces[f.family+f.style])
	}
	p.f.SetFont(f.family, f.style, f.size)
}

// clean is clean, noting what the fonts lack.
func (p *page) clean(text string) string {
	s, missing := letters.Clean(text)
	for _, r := range missing {
		p.missing[r] = true
	}
	return s
}

// measure returns the width in points of a line that is clean already.
func (p *page) measure(line string, f font) float64 {
	p.use(f)
	return p.f.GetStringWidth(line)
}

// text draws one line with its baseline at y.
func (p *page) text(x, y float64, line string, f font, c colour) {
	p.use(f)
	p.f.SetTextColor(c[0], c[1], c[2])
	p.f.Text(x, y, visual(p.clean(line)))
}

// textRight draws one line that ends at x.
func (p *page) textRight(x, y float64, line string, f font, c colour) {
	line = p.clean(line)
	p.text(x-p.measure(line, f), y, line, f, c)
}

// wrap breaks a text into lines no wider than width: between words, inside a word that is too long.
func (p *page) wrap(text string, f font, width float64) []string {
	var out []string
	for _, par := range strings.Split(p.clean(text), "\n") {
		line := ""
		for _, word := range strings.Fields(par) {
			for _, piece := range p.pieces(word, f, width) {
				joined := line + " " + piece
				if line == "" {
					joined = piece
				}
				if p.measure(joined, f) > width {
					out = append(out, line)
					joined = piece
				}
				line = joined
			}
		}
		out = append(out, line)
	}
	return out
}

// pieces breaks a word that is wider than width, never before a combining mark.
func (p *page) pieces(word string, f font, width float64) []string {
	if p.measure(word, f) <= width {
		return []string{word}
	}
	var out []string
	piece := ""
	for _, r := range word {
		if piece != "" && !unicode.Is(unicode.Mn, r) && p.measure(piece+string(r), f) > width {
			out = append(out, piece)
			piece = ""
		}
		piece += string(r)
	}
	return append(out, piece)
}

// begin opens the first page: the studio, the day, the paper's title, a line on it, and the one rule.
func (p *page) begin(summary string) {
	p.open()
	p.text(p.left, p.y+22, p.title, serif.at(24), ink)
	p.y += 38
	for _, line := range p.wrap(summary, sans.at(9.5), p.width()) {
		if line != "" {
			p.text(p.left, p.y, line, sans.at(9.5), grey)
			p.y += 13
		}
	}
	p.rule(p.y - 4)
	p.y += 14
}

// open starts a page with its head and foot.
func (p *page) open() {
	p.f.AddPage()
	p.y = p.top
	p.fill(accent)
	p.f.Rect(p.left, p.y-6.5, 6.5, 6.5, "F")
	day := p.head.Day.Long()
	room := p.width() - 12 - p.measure(day, sans) - 20
	p.text(p.left+12, p.y, p.fit(p.head.Studio, bold, room), bold, ink)
	p.textRight(p.right, p.y, day, sans, grey)
	foot := p.title
	if p.total > 0 {
		foot = fmt.Sprintf("%s, page %d of %d", p.title, p.f.PageNo(), p.total)
	}
	p.textRight(p.right, p.bottom+24, foot, sans.at(8), grey)
	p.y += 14
}

// fit returns the first line of a text in the room, with an ellipsis when there is more of it. Only the
// running head uses it: everything else is broken into lines.
func (p *page) fit(text string, f font, room float64) string {
	lines := p.wrap(text, f, room)
	if len(lines) == 1 {
		return lines[0]
	}
	first := []rune(lines[0])
	for len(first) > 0 && p.measure(string(first)+"…", f) > room {
		first = first[:len(first)-1]
	}
	return string(first) + "…"
}

// next opens a further page.
func (p *page) next() {
	p.open()
	p.rule(p.y - 6)
	p.y += 12
}

// need opens a further page unless so much height is left.
func (p *page) need(height float64) {
	if p.y+height > p.bottom {
		p.next()
	}
}

func (p *page) fill(c colour)   { p.f.SetFillColor(c[0], c[1], c[2]) }
func (p *page) stroke(c colour) { p.f.SetDrawColor(c[0], c[1], c[2]) }

// rule draws the thin rule.
func (p *page) rule(y float64) {
	p.stroke(ink)
	p.f.SetLineWidth(0.5)
	p.f.Line(p.left, y, p.right, y)
}

// box draws a box to tick beside a baseline.
func (p *page) box(x, baseline float64) {
	p.stroke(ink)
	p.f.SetLineWidth(0.7)
	p.f.Rect(x, baseline-7.6, 8.5, 8.5, "D")
}

// heading draws the name of a part and keeps room for what follows it.
func (p *page) heading(name, aside string) {
	room := p.width()
	if aside = p.clean(aside); aside != "" {
		room -= min(p.measure(aside, sans), p.width()/2) + 12
	}
	lines := p.wrap(name, serif.at(14), room)
	p.need(float64(len(lines))*17 + 40)
	p.y += 10
	for i, l := range p.lines(aside, sans, grey, p.width()-room) {
		p.textRight(p.right, p.y+float64(i)*leading, l.text, l.font, l.ink)
	}
	for _, l := range lines {
		p.text(p.left, p.y, l, serif.at(14), ink)
		p.y += 17
	}
	p.y += 3
}

// paragraph draws a text over the whole width.
func (p *page) paragraph(text string, f font, c colour) {
	for _, line := range p.wrap(text, f, p.width()) {
		p.need(f.size + 3.5)
		p.text(p.left, p.y, line, f, c)
		p.y += f.size + 3.5
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
