// Package certificate draws what goes out with a print and stays with it: its certificate, and the declaration that an edition ended. A
// certificate has a front to look at and a back that can be checked; as a sheet (US letter or A4) or as a card (6 × 4 in or A6).
//
// It is pure: the same paper gives the same bytes. Codes are drawn as rectangles whose modules are four dots of a label printer of 203 dpi
// wide. Characters that the type lacks are refused, because others read these papers.
package certificate

import (
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/letters"
	"solander/measure"
	"solander/papers/pdf/leaf"
)

// Ink on paper and one accent, as on the papers of the house.
var (
	ink    = leaf.Colour{25, 28, 27}
	soft   = leaf.Colour{86, 92, 89}
	accent = leaf.Colour{10, 90, 79}
	hair   = leaf.Colour{185, 190, 184}
	black  = leaf.Colour{0, 0, 0}
)

var (
	roman  = leaf.Type{Style: letters.Roman, Size: 11}
	italic = leaf.Type{Style: letters.Italic, Size: 10.5}
	small  = leaf.Type{Style: letters.Roman, Size: 8.8}
	bold   = leaf.Type{Style: letters.Bold, Size: 8.8}
)

// Head is whose paper it is, and of which day.
type Head struct {
	Studio string
	Under  string // a line below the studio's name
	Crest  []byte // JPEG, in the place of the name; nil = none
	Day    calendar.Day
	Units  measure.System
}

// Row is a line of what is said.
type Row struct{ Label, Text string }

// Format is how large a certificate is.
type Format string

// The formats.
const (
	Sheet Format = "sheet"
	Card  Format = "card"
)

// Formats returns both.
func Formats() []Format { return []Format{Sheet, Card} }

// size is the format in points.
func (f Format) size(u measure.System) (w, h, margin float64) {
	switch {
	case f == Card && u == measure.Metric:
		return 148 / 25.4 * 72, 105 / 25.4 * 72, 20 // ISO 216 A6, across
	case f == Card:
		return 432, 288, 18 // 6 × 4 in
	case u == measure.Metric:
		return 210 / 25.4 * 72, 297 / 25.4 * 72, 60 // ISO 216 A4
	}
	return 612, 792, 60 // US letter, 8 1/2 × 11 in (ANSI/ASME Y14.1 size A)
}

// begin begins a file.
func begin(title string, h Head) *leaf.File {
	when := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	if !h.Day.IsZero() {
		y, m, d := h.Day.Civil()
		when = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	author, _ := letters.Clean(h.Studio)
	return leaf.New(leaf.About{Title: title, Author: author, Creator: "Solander", When: when})
}

// readable refuses characters that the type lacks. Faults: Refused.
func readable(where string, texts ...string) error {
	if lacking := letters.Lacking(strings.Join(texts, "\n")); len(lacking) > 0 {
		return fault.New(fault.Refused, "the type has no letters for %s", letters.Named(string(lacking))).At("%s", where).ToMend("write it in Latin letters")
	}
	return nil
}

// sheet is a page in the making; y is where the next thing is drawn, in points from the top.
type sheet struct {
	f                        *leaf.File
	on                       *leaf.Page
	wide, tall               float64
	left, right, top, bottom float64
	y                        float64
	beforehand               bool
}

func newSheet(f *leaf.File, format Format, u measure.System, beforehand bool) *sheet {
	w, h, margin := format.size(u)
	s := &sheet{f: f, beforehand: beforehand, wide: w, tall: h, left: margin, right: w - margin, top: margin, bottom: h - margin}
	s.turn()
	return s
}

// turn begins a further page.
func (s *sheet) turn() {
	s.on = s.f.Page(s.wide, s.tall)
	s.y = s.top
	if s.beforehand {
		s.centred(s.left, s.right, min(s.top*0.6, s.top-6), "Looked at beforehand: this certifies nothing, and no code on it holds.", bold, accent)
	}
}

func (s *sheet) width() float64 { return s.right - s.left }

func clean(text string) string { out, _ := letters.Clean(text); return out }

// lines breaks a text into lines no wider than width.
func (s *sheet) lines(text string, t leaf.Type, width float64) []string {
	var out []string
	for par := range strings.SplitSeq(clean(text), "\n") {
		out = append(out, s.f.Lines(par, t, width)...)
	}
	return out
}

// centred writes a text in the middle between two edges, broken into lines, and returns where the next baseline is.
func (s *sheet) centred(from, to, y float64, text string, t leaf.Type, c leaf.Colour) float64 {
	if text == "" {
		return y
	}
	for _, line := range s.lines(text, t, to-from) {
		s.on.Text(from+(to-from-s.f.Width(line, t))/2, y, line, t, c)
		y += t.Size * 1.3
	}
	return y
}

// block writes a text between two edges, and returns where the next baseline is.
func (s *sheet) block(from, to, y float64, text string, t leaf.Type, c leaf.Colour) float64 {
	if text == "" {
		return y
	}
	for _, line := range s.lines(text, t, to-from) {
		x := from
		if letters.RightToLeft(line) {
			x = to - s.f.Width(line, t)
		}
		s.on.Text(x, y, line, t, c)
		y += t.Size * 1.32
	}
	return y
}

// rows writes labels and what is said, in two columns.
func (s *sheet) rows(from, to, y float64, rows []Row, t leaf.Type, label float64) float64 {
	for _, r := range rows {
		if r.Text == "" {
			continue
		}
		a := s.block(from, from+label-8, y, r.Label, leaf.Type{Style: letters.Italic, Size: t.Size}, soft)
		b := s.block(from+label, to, y, r.Text, t, ink)
		y = max(a, b) + t.Size*0.25
	}
	return y
}

// tallOf is how high rows are.
func (s *sheet) tallOf(rows []Row, t leaf.Type, label, width float64) float64 {
	tall := 0.0
	for _, r := range rows {
		if r.Text != "" {
			n := max(len(s.lines(r.Label, leaf.Type{Style: letters.Italic, Size: t.Size}, label-8)), len(s.lines(r.Text, t, width-label)))
			tall += float64(n)*t.Size*1.32 + t.Size*0.25
		}
	}
	return tall
}

func (s *sheet) rule(from, to, y, weight float64, c leaf.Colour) {
	s.on.Pen(c, weight)
	s.on.Line(from, y, to, y)
}

// picture draws a picture in the middle of a box with a hairline round it, and returns its lower edge.
func (s *sheet) picture(jpeg []byte, x, y, w, h float64) float64 {
	pw, ph := leaf.Sides(jpeg)
	if pw == 0 {
		return y
	}
	scale := min(w/float64(pw), h/float64(ph))
	wide, tall := float64(pw)*scale, float64(ph)*scale
	at := x + (w-wide)/2
	s.on.Picture(jpeg, at, y, wide, tall, false)
	s.on.Pen(hair, 0.4)
	s.on.Frame(at, y, wide, tall)
	return y + tall
}

// head writes whose paper it is, in the middle.
func (s *sheet) head(h Head, size float64) {
	if w, t := leaf.Sides(h.Crest); w > 0 && t > 0 {
		s.on.Picture(h.Crest, s.left, s.y, s.width(), size*3, false)
		s.y += size*3 + size
	} else {
		s.y = s.centred(s.left, s.right, s.y+size, h.Studio, roman.At(size), ink)
	}
	s.y = s.centred(s.left, s.right, s.y, h.Under, italic.At(size*0.75), soft)
}

// signature draws a line to sign on, and what stands below it.
func (s *sheet) signature(from, to, y float64, below string) {
	s.rule(from, to, y, 0.6, ink)
	s.block(from, to, y+12, below, italic.At(9), soft)
}

// Module is how wide a module of a code is drawn.
const Module = leaf.Module

// code draws the modules of a code, with its quiet zone, and returns how wide it is.
func (s *sheet) code(modules [][]bool, x, y float64) float64 {
	return s.on.Modules(modules, x, y, black)
}
