package xlsx

import (
	"encoding/xml"
	"strconv"

	"solander/intake"
)

// look is what the styles part says, as far as it matters here: the fill and number format of each cell format, and the
// fill of each differential format, which conditional formats use.
type look struct {
	palette palette
	fills   []ground
	custom  map[int]string // number formats of the file by id
	formats []format       // cellXfs, by the s of a cell
	dxfs    []ground
	shown   *shower
}

// ground is a fill; odd when it is more than one colour.
type ground struct {
	fill intake.Fill
	odd  bool
}

// format is one of cellXfs (18.8.10).
type format struct {
	ground ground
	numFmt int
	day    bool // shows a number as a day
}

const mostStyles = 65_490 // cell formats that spreadsheet programs hold; from memory

func (b *book) readLook(styles, theme string) error {
	l := &b.look
	l.custom = map[int]string{}
	if err := b.readTheme(theme); err != nil {
		return err
	}
	// The indexed colours stand behind what uses them.
	if _, err := b.walk(styles, func(_ *stream, e xml.StartElement) error {
		if e.Name.Local == "rgbColor" && len(l.palette.indexed) < 64 {
			c, _ := hexColour(attr(e, "rgb"))
			l.palette.indexed = append(l.palette.indexed, c)
		}
		return nil
	}); err != nil {
		return err
	}
	if err := b.readStyles(styles); err != nil {
		return err
	}
	l.shown = newShower(b.date1904)
	return nil
}

// readStyles reads fills, number formats, cell formats and differential formats in the order of the part.
func (b *book) readStyles(part string) error {
	l, within := &b.look, ""
	_, err := b.walk(part, func(s *stream, e xml.StartElement) error {
		switch name := e.Name.Local; {
		case name == "fills" || name == "cellXfs" || name == "dxfs" || name == "cellStyleXfs" || name == "numFmts":
			within = name
		case name == "numFmt" && within == "numFmts":
			if id, err := strconv.Atoi(attr(e, "numFmtId")); err == nil && len(l.custom) < mostStyles {
				l.custom[id] = attr(e, "formatCode")
			}
		case name == "fill" && within == "fills" && len(l.fills) < mostStyles:
			g, err := l.palette.readFill(s, false)
			l.fills = append(l.fills, g)
			return err
		case name == "xf" && within == "cellXfs" && len(l.formats) < mostStyles:
			l.formats = append(l.formats, l.format(e))
		case name == "dxf" && within == "dxfs" && len(l.dxfs) < mostStyles:
			g, err := l.palette.readDxf(s)
			l.dxfs = append(l.dxfs, g)
			return err
		}
		return nil
	})
	return err
}

func (l *look) format(e xml.StartElement) format {
	var f format
	if i, err := strconv.Atoi(attr(e, "fillId")); err == nil && i >= 0 && i < len(l.fills) {
		f.ground = l.fills[i]
	}
	f.numFmt, _ = strconv.Atoi(attr(e, "numFmtId"))
	f.day = showsDay(f.numFmt, l.custom[f.numFmt])
	return f
}

// readFill reads a CT_Fill (18.8.20) to its end. Solid is the foreground colour; in a differential format, it is the
// background colour that programs write and show. Of a pattern the ground shows, of a gradient the first colour.
func (p palette) readFill(s *stream, differential bool) (ground, error) {
	var fore, back, first intake.Fill
	pattern, stops := "", 0
	err := within(s, func(e xml.StartElement) {
		switch e.Name.Local {
		case "patternFill":
			pattern = attr(e, "patternType")
			if pattern == "" && differential {
				pattern = "solid"
			}
		case "fgColor":
			fore = p.colour(e)
		case "bgColor":
			back = p.colour(e)
		case "color":
			if stops++; stops == 1 {
				first = p.colour(e)
			}
		}
	})
	switch {
	case stops > 0:
		return ground{first, true}, err
	case pattern == "" || pattern == "none":
		return ground{}, err
	case pattern == "solid" && differential:
		return ground{either(back, fore), false}, err
	case pattern == "solid":
		return ground{fore, false}, err
	}
	return ground{back, !back.IsZero() || !fore.IsZero()}, err
}

func either(a, b intake.Fill) intake.Fill {
	if a.IsZero() {
		return b
	}
	return a
}

// readDxf reads a CT_Dxf (18.8.14) to its end, for its fill.
func (p palette) readDxf(s *stream) (ground, error) {
	var g ground
	for depth := 0; ; {
		t, err := s.next()
		if err != nil {
			return g, err
		}
		switch t := t.(type) {
		case nil:
			return g, nil
		case xml.EndElement:
			if depth == 0 {
				return g, nil
			}
			depth--
		case xml.StartElement:
			if t.Name.Local == "fill" {
				if g, err = p.readFill(s, true); err != nil {
					return g, err
				}
				continue
			}
			depth++
		}
	}
}

// within calls visit for each element up to the end of the one just opened.
func within(s *stream, visit func(xml.StartElement)) error {
	for depth := 0; ; {
		t, err := s.next()
		if err != nil || t == nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			visit(t)
			depth++
		case xml.EndElement:
			if depth == 0 {
				return nil
			}
			depth--
		}
	}
}
