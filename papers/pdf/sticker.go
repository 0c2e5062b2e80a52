package pdf

import (
	"errors"
	"slices"
	"strings"

	"solander/papers"
	"solander/papers/pdf/leaf"
)

// stickers draws labels on sheets of stickers, from the first free place on. A label that does not fit on one is left out
// and leaves its place to the next.
func (p labels) stickers(s papers.StickerSheet) error {
	if err := s.Stickers.Validate(s.First); err != nil {
		return err
	}
	place := s.First - 1
	for _, l := range s.Labels {
		if p.on == nil || place == s.Stickers.Places() {
			if p.on != nil {
				place = 0
			}
			p.sheet()
		}
		err := papers.Readable(l)
		if err == nil {
			err = p.sticker(l, s.Stickers, place)
		}
		if err != nil {
			p.unprinted = append(p.unprinted, err)
			continue
		}
		place++
	}
	if len(p.unprinted) == len(s.Labels) && len(p.unprinted) > 0 {
		err := errors.Join(p.unprinted...)
		p.unprinted = nil
		return err
	}
	if p.on == nil {
		p.sheet() // of no labels: an empty sheet
	}
	return nil
}

// stickerEdge is the room kept free along the edges of a sticker, for cuts that are off a little.
const stickerEdge = 8

// sticker draws one label: where it comes from in a line, where it goes as large as it fits, the mark, and that it is no
// postage; the bar code where there is room for it. Nothing is drawn unless all fits.
func (p labels) sticker(l papers.AddressLabel, on papers.Stickers, place int) error {
	left, top := on.At(place)
	x, y := points(left)+stickerEdge, points(top)+stickerEdge
	w, h := points(on.Width)-2*stickerEdge, points(on.Height)-2*stickerEdge
	tooSmall := func() error {
		err := tooLong(l.Mark, "ship_to")
		err.What, err.Mend = "the address is too long for a sticker of "+on.Say(), "take larger stickers, or the label of 4 × 6 in"
		return err
	}
	const tiny = 6.0
	from := p.wrap(strings.Join(l.From, " · "), small.At(tiny), w)
	foot := slices.DeleteFunc([]string{l.Mark, l.Part}, func(s string) bool { return s == "" })
	told := p.wrap(strings.Join(append(foot, papers.NotPostage), " · "), small.At(tiny), w)
	code := 0.0
	if h >= 120 && w >= 160 {
		code = 26
	}
	room := h - float64(len(from)+len(told))*(tiny+1.5) - code - 8
	to, f, ok := p.largest(l.To, roman, []float64{16, 14, 12, 10.5, 9, 8, 7, 6}, w, room)
	if !ok || room <= 0 {
		return tooSmall()
	}
	if code > 0 {
		if _, _, err := p.on.Code128(codeOf(l.Code, l.Mark), x-leaf.Quiet, y+h-float64(len(told))*(tiny+1.5)-code, w+leaf.Quiet, code-4, 1, 0, black); err != nil {
			return err
		}
	}
	at := y
	for _, line := range from {
		at += tiny + 1.5
		p.text(x, at-1.5, line, small.At(tiny), soft)
	}
	p.on.Pen(hair, 0.4)
	p.on.Line(x, at+1.5, x+w, at+1.5)
	tall := 0.0
	for i := range to {
		tall += step(to[:i+1], f)
	}
	at += 4 + (room-tall)/3 // a little above the middle
	for i, line := range to {
		at += step(to[:i+1], f)
		p.text(x, at-f.Size*0.25, line, f, ink)
	}
	for i, line := range told {
		p.text(x, y+h-float64(len(told)-1-i)*(tiny+1.5), line, small.At(tiny), ink)
	}
	return nil
}
