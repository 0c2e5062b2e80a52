package pdf

import (
	"strings"

	"solander/fault"
	"solander/letters"
	"solander/papers"
)

// labels are papers of addresses: a label alone, and sheets of stickers.
type labels struct{ *page }

// label draws the address label: return address, address as large as it fits, the mark with its bar
// code, and the words that it is no postage.
func (p labels) label(l papers.AddressLabel) error {
	p.left, p.right, p.bottom = 18, 270, 414
	p.sheet()
	p.band()
	y, err := p.labelFrom(l)
	if err != nil {
		return err
	}
	foot, err := p.labelFoot(l)
	if err != nil {
		return err
	}
	return p.labelTo(l, y, foot)
}

// band says, white on black across the top, that this is not postage.
func (p labels) band() {
	p.on.Rect(0, 0, p.wide, 26, black)
	f := bold.At(12)
	p.text((p.wide-p.measure(papers.NotPostage, f))/2, 17.5, papers.NotPostage, f, white)
}

// labelFrom draws the return address and returns where it ends.
func (p labels) labelFrom(l papers.AddressLabel) (float64, error) {
	lines, f, ok := p.largest(l.From, small, []float64{8.5, 7.5, 6.5, 5.5}, p.width(), 100)
	if !ok {
		return 0, tooLong(l.Mark, "address")
	}
	y := 44.0
	p.text(p.left, y, "From", small.At(7), soft)
	for _, line := range lines {
		y += f.Size + 2.5
		p.text(p.left, y, line, f, ink)
	}
	y += 9
	p.rule(y, ink)
	return y, nil
}

// labelFoot draws mark, part, service and the bar code at the foot; it returns where they begin.
func (p labels) labelFoot(l papers.AddressLabel) (float64, error) {
	const codeHeight = 42
	x, w, err := p.on.Code128(codeOf(l.Code, l.Mark), p.left, p.bottom-codeHeight-12, p.width(), codeHeight, 1.6, 0.5, black)
	if err != nil {
		return 0, err
	}
	mark := p.fit(l.Mark, roman.At(10), p.width())
	p.text(x+(w-p.measure(mark, roman.At(10)))/2, p.bottom, mark, roman.At(10), ink)
	words := l.Part
	if l.Service != "" {
		words = strings.TrimPrefix(words+", "+l.Service, ", ")
	}
	var told []string
	if words != "" {
		told = p.wrap(words, small.At(8), p.width())
	}
	const most = 5 // lines: what is beyond stands on the wrap sheet too
	if len(told) > most {
		told = append(told[:most-1], "… more on the wrap sheet")
	}
	y := p.bottom - codeHeight - 22 - float64(len(told)-1)*9.5
	for i, line := range told {
		p.text(p.left, y+float64(i)*9.5, line, small.At(8), ink)
	}
	return y - 10, nil
}

// labelTo draws the address between two heights.
func (p labels) labelTo(l papers.AddressLabel, from, to float64) error {
	lines, f, ok := p.largest(l.To, roman, []float64{18, 16, 14, 12, 10.5, 9, 8, 7, 6}, p.width()-8, to-from-30)
	if !ok {
		return tooLong(l.Mark, "ship_to")
	}
	y := from + 16
	p.text(p.left, y, "To", small.At(7), soft)
	y += 6
	for i, line := range lines {
		y += step(lines[:i+1], f)
		p.text(p.left+4, y, line, f, ink)
	}
	return nil
}

// largest breaks texts at the largest of the sizes at which they fit width and height.
func (p labels) largest(texts []string, f font, sizes []float64, width, height float64) ([]string, font, bool) {
	for _, size := range sizes {
		f = f.At(size)
		var lines []string
		for _, t := range texts {
			lines = append(lines, p.wrap(t, f, width)...)
		}
		tall := 0.0
		for i := range lines {
			tall += step(lines[:i+1], f)
		}
		if tall*1.04 <= height {
			return lines, f, true
		}
	}
	return nil, f, false
}

// step is how far the last of some lines of an address stands below the one before.
func step(lines []string, f font) float64 {
	for _, line := range lines[max(0, len(lines)-2):] {
		if letters.Tall(line) {
			return f.Size * 1.7
		}
	}
	return f.Size * 1.25
}

func tooLong(mark, field string) *fault.Error {
	return fault.New(fault.Refused, "the address is too long for a label of 4 × 6 in").
		At("%s", mark).In(field).ToMend("shorten its lines")
}

// codeOf is what a bar code says: the parcel's name, or the order's mark when none is given.
func codeOf(code, mark string) string {
	if code == "" {
		return mark
	}
	return code
}
