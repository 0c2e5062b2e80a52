package leaf

import (
	"encoding/binary"
	"fmt"
	"strings"

	"solander/letters"
)

// Type is a style at a size in points.
type Type struct {
	Style letters.Style
	Size  float64
}

// At is the same style at another size.
func (t Type) At(size float64) Type { t.Size = size; return t }

// Width is how wide a line of cleaned text is.
func (f *File) Width(line string, t Type) float64 {
	return float64(f.setter.Set(line, t.Style).Width) * t.Size / 1000
}

// Lines breaks a cleaned paragraph into lines no wider than width: where its script breaks lines, and inside a word that is
// too long. Each is set in the direction of the whole.
func (f *File) Lines(paragraph string, t Type, width float64) []string {
	var out []string
	line, wide := "", 0.0
	for _, part := range f.setter.Breaks(strings.Join(strings.Fields(paragraph), " ")) {
		for _, piece := range f.pieces(part, t, width) {
			bare := f.Width(strings.TrimRight(piece, " "), t)
			if line != "" && wide+bare > width {
				out = append(out, letters.Directed(strings.TrimRight(line, " "), paragraph))
				line, wide = "", 0
			}
			line += piece
			if wide += bare; strings.HasSuffix(piece, " ") {
				wide += f.Width(" ", t)
			}
		}
	}
	return append(out, letters.Directed(strings.TrimRight(line, " "), paragraph))
}

// pieces breaks a word that is wider than width, never within a letter and its marks.
func (f *File) pieces(word string, t Type, width float64) []string {
	if f.Width(strings.TrimRight(word, " "), t) <= width {
		return []string{word}
	}
	var out []string
	piece := ""
	for _, c := range f.Clusters(word) {
		if piece != "" && f.Width(strings.TrimRight(piece+c, " "), t) > width {
			out = append(out, piece)
			piece = ""
		}
		piece += c
	}
	return append(out, piece)
}

// Clusters parts a cleaned text into letters as a reader sees them.
func (f *File) Clusters(text string) []string {
	runes := []rune(text)
	var out []string
	for _, c := range f.setter.Clusters(runes) {
		out = append(out, string(runes[c[0]:c[1]]))
	}
	return out
}

// Text writes one line of cleaned text with its baseline at y.
func (p *Page) Text(x, y float64, line string, t Type, c Colour) {
	set := p.file.setter.Set(line, t.Style)
	if len(set.Glyphs) == 0 {
		return
	}
	p.colour(&p.fill, c, "rg")
	b := append(p.content.AvailableBuffer(), "BT\n"...)
	y = p.height - y
	var face *letters.Face
	open, off := false, 0.0 // off: how far the glyphs' own widths have gone astray, in thousandths
	end := func() {
		if open {
			b = append(b, ">] TJ\n"...)
		}
		open = false
	}
	within := false // what several glyphs draw together
	for i, g := range set.Glyphs {
		slot := p.file.slot(g)
		if g.Face != face {
			end()
			face = g.Face
			b = fmt.Appendf(b, "/F%d ", p.file.byFace[face].number)
			b = append(num(b, t.Size), " Tf\n"...)
		}
		placed := g.X != 0 || g.Y != 0
		if placed {
			end()
		}
		if told := partsOf(set.Glyphs[i:]); told != "" && !within {
			end()
			b, within = append(b, "/Span << /ActualText "+text(told)+" >> BDC\n"...), true
		}
		if !open {
			b = append(b, "1 0 0 1 "...)
			b = append(num(b, x+float64(g.X)*t.Size/1000), ' ')
			b = append(num(b, y+float64(g.Y)*t.Size/1000), " Tm [<"...)
			open, off = true, 0
		} else if off != 0 {
			b = append(num(append(b, ">"...), -off), '<')
			off = 0
		}
		b = fmt.Appendf(b, "%04X", slot)
		off = float64(g.Advance - p.file.byFace[face].advance(g.ID))
		x += float64(g.Advance) * t.Size / 1000
		if placed {
			end()
		}
		if within && !g.More {
			end()
			b, within = append(b, "EMC\n"...), false
		}
	}
	end()
	p.content.Write(append(b, "ET\n"...))
}

// partsOf is the text of what the first of some glyphs draws together with others, when more than one of them takes room: no
// glyph alone stands for it.
func partsOf(glyphs []letters.Glyph) string {
	told, wide := "", 0
	for _, g := range glyphs {
		told += g.Text
		if g.Advance > 0 {
			wide++
		}
		if !g.More {
			break
		}
	}
	if wide < 2 {
		return ""
	}
	return told
}

// slot returns where a glyph stands in the embedded face. One that stands for several texts has a place for each, so that
// what is copied from the file is what was written.
func (f *File) slot(g letters.Glyph) int {
	e := f.byFace[g.Face]
	if e == nil {
		e = &embedded{face: g.Face, number: len(f.types) + 1, outlines: outlinesOf(g.Face.TTF()), slots: map[shown]int{}, all: []shown{{}}}
		f.types = append(f.types, e)
		f.byFace[g.Face] = e
	}
	key := shown{g.ID, g.Text}
	n, known := e.slots[key]
	if !known {
		n = len(e.all)
		e.slots[key] = n
		e.all = append(e.all, key)
	}
	return n
}

// shown is a glyph and the text that it stands for.
type shown struct {
	id   uint16
	text string
}

// embedded is a face of a file with the glyphs used, by their places from 1; 0 is the glyph of what is lacking.
type embedded struct {
	face     *letters.Face
	number   int
	outlines *outlines
	slots    map[shown]int
	all      []shown
}

// advance is how far a glyph goes by itself, in thousandths.
func (e *embedded) advance(id uint16) int {
	return int(e.outlines.advance(id)) * 1000 / int(e.outlines.upem)
}

// write adds the face to a file and returns its number there. Source: ISO 32000-1, 9.7 and 9.10.3.
func (e *embedded) write(w *writer) (int, error) {
	ids := make([]uint16, len(e.all))
	var widths, texts []byte
	lines := 0
	var block []byte
	flush := func() {
		if lines > 0 {
			texts = fmt.Appendf(texts, "%d beginbfchar\n%sendbfchar\n", lines, block)
		}
		lines, block = 0, nil
	}
	for i, s := range e.all {
		ids[i] = s.id
		widths = fmt.Appendf(widths, "%d ", e.advance(s.id))
		if s.text == "" {
			continue
		}
		block = fmt.Appendf(block, "<%04X> <%s>\n", i, hex16(s.text))
		if lines++; lines == 100 {
			flush()
		}
	}
	flush()
	font := e.outlines.subset(ids)
	program, err := w.deflate(font)
	if err != nil {
		return 0, err
	}
	cmap, err := w.deflate([]byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n" + string(texts) + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"))
	if err != nil {
		return 0, err
	}
	name := "/" + tag(e.number) + "+Solander-" + e.face.Name
	file := w.add(object{fmt.Sprintf("/Filter /FlateDecode /Length1 %d", len(font)), program})
	toUnicode := w.add(object{"/Filter /FlateDecode", cmap})
	o := e.outlines
	em := func(at []byte) int { return int(int16(binary.BigEndian.Uint16(at))) * 1000 / int(o.upem) }
	ascent, descent := em(o.table["hhea"][4:]), em(o.table["hhea"][6:])
	box := o.table["head"][36:]
	descriptor := w.add(object{dict: fmt.Sprintf("/Type /FontDescriptor /FontName %s /Flags 4 /FontBBox [%d %d %d %d] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d /StemV 80 /FontFile2 %d 0 R",
		name, em(box), em(box[2:]), em(box[4:]), em(box[6:]), ascent, descent, ascent, file)})
	cid := w.add(object{dict: fmt.Sprintf("/Type /Font /Subtype /CIDFontType2 /BaseFont %s /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> /FontDescriptor %d 0 R /DW 1000 /W [0 [%s]] /CIDToGIDMap /Identity", name, descriptor, widths)})
	return w.add(object{dict: fmt.Sprintf("/Type /Font /Subtype /Type0 /BaseFont %s /Encoding /Identity-H /DescendantFonts [%d 0 R] /ToUnicode %d 0 R", name, cid, toUnicode)}), nil
}

// tag is the mark of six letters that says that a face is embedded in part.
func tag(n int) string { return fmt.Sprintf("SOLAN%c", 'A'+n-1) }
