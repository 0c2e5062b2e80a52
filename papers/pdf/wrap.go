package pdf

import (
	"fmt"
	"slices"
	"strings"

	"solander/papers/pdf/leaf"
	"solander/papers/wrap"
)

// wrapSheet draws the wrap sheet, with the parcel's bar code beside its title.
func (p drawing) wrapSheet(s wrap.Sheet) {
	p.begin(join(", ", s.Whose(), s.Part, s.Buyer, s.Wrap))
	// What cannot be a bar code is left out: the sheet does its work without.
	if len(s.Twins) == 0 {
		_, _, _ = p.on.Code128(codeOf(s.Code, s.Mark), p.right-180, p.top+12, 180+leaf.Quiet, 26, 1, 1, black)
	}
	p.warnings(s.Warnings)
	top := p.y
	thumbs := p.wrapPrints(s.Prints)
	for _, f := range s.Facts {
		w := p.width() - 90 - thumbs
		p.row(
			cell{x: p.left, w: 90, lines: []styled{{f.Name, small, soft}}},
			cell{x: p.left + 90, w: w, lines: p.lines(f.Text, roman, ink, w)},
		)
	}
	if thumbs > 0 {
		p.y = max(p.y, top+thumbTall)
	}
	p.y += 6
	for i, st := range s.Steps {
		cells := p.wrapStep(i+1, st)
		if i == 0 {
			p.headed("From the inside out", "", cells)
		}
		p.row(cells...)
		p.y += 4
	}
	p.views(s.Views)
	for _, c := range s.Cuts {
		p.cut(c)
	}
	p.cautions(s.Cautions)
}

// cautions draws what is said of cutting.
func (p *page) cautions(texts []string) {
	for i, c := range texts {
		said := cell{x: p.left + 10, w: p.width() - 10, bar: true, lines: p.lines(c, small.At(9.5), ink, p.width()-10)}
		if i == 0 {
			p.headed("When cutting", "", []cell{said})
		}
		p.row(said)
	}
}

// thumbTall and thumbMost: how large the pictures beside the facts are, and how many there are at most.
const (
	thumbTall = 46
	thumbMost = 6
)

// wrapPrints draws the pictures of the prints at the right of the page, beside what follows, and returns the room that
// they take. A parcel of very many prints shows the first ones.
func (p drawing) wrapPrints(prints []wrap.Print) float64 {
	p.pictures = map[string][]byte{}
	x := p.right
	for _, print := range prints {
		p.pictures[print.Sheet] = print.Picture
	}
	for _, print := range slices.Backward(prints[:min(len(prints), thumbMost)]) {
		if w, h := leaf.Sides(print.Picture); w > 0 {
			wide := min(thumbTall*float64(w)/float64(h), 1.5*thumbTall)
			x -= wide
			p.picture(print.Picture, x, p.y-9, wide, thumbTall)
			x -= 8
		}
	}
	return p.right - x
}

func (p drawing) wrapStep(n int, st wrap.Step) []cell {
	const tick, key = 16, 22
	w := p.width() - tick - key
	main := cell{x: p.left + tick + key, w: w, lines: p.lines(st.Text, roman, ink, w)}
	main.lines = append(main.lines, p.lines(st.Detail, small, soft, w)...)
	return []cell{ticked(p.left), {x: p.left + tick, w: key, lines: []styled{{fmt.Sprint(n), bold.At(9.5), accent}}}, main}
}

func (p drawing) cut(c wrap.Cut) {
	const tall = 150
	p.need(min(tall+60+float64(len(c.Steps)+1)*leading*1.5, p.bottom-p.top-60)) // steps and drawing on one page
	p.heading(c.Title, "")
	for i, s := range c.Steps {
		p.row(
			cell{x: p.left, w: 16, lines: []styled{{fmt.Sprint(string(rune('a'+i)), "."), bold, ink}}},
			cell{x: p.left + 16, w: p.width() - 16, lines: p.lines(s, roman, ink, p.width()-16)},
		)
	}
	p.view(c.View, tall)
}

// join joins the texts that are not empty.
func join(by string, texts ...string) string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return strings.Join(out, by)
}
