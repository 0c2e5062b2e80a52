package xlsx

import (
	"encoding/xml"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"solander/intake"
)

// palette knows the colours that a file names by number: those of its theme (20.1.6.2) and its indexed ones (18.8.27).
type palette struct {
	theme   []intake.Fill // by the number of SpreadsheetML: lt1, dk1, lt2, dk2, accent1 … accent6, hlink, folHlink
	indexed []intake.Fill // of the file itself; others are the usual ones
}

// themeOrder are the names of a colour scheme in the order of their numbers in a sheet.
var themeOrder = []string{"lt1", "dk1", "lt2", "dk2", "accent1", "accent2", "accent3", "accent4", "accent5", "accent6", "hlink", "folHlink"}

// usualTheme is what a new workbook of the library has: files of some programs name theme colours without a theme.
func usualTheme() []intake.Fill {
	f := excelize.NewFile()
	defer f.Close()
	theme := make([]intake.Fill, len(themeOrder))
	for i := range theme {
		theme[i], _ = hexColour(f.GetBaseColor("", len(excelize.IndexedColorMapping), &i))
	}
	return theme
}

// readTheme reads the colour scheme of the theme part.
func (b *book) readTheme(part string) error {
	p, in, over := &b.look.palette, "", false
	p.theme = usualTheme()
	_, err := b.walk(part, func(_ *stream, e xml.StartElement) error {
		switch name := e.Name.Local; name {
		case "srgbClr", "sysClr":
			value := attr(e, "val")
			if name == "sysClr" {
				value = attr(e, "lastClr")
			}
			for i, known := range themeOrder {
				if c, ok := hexColour(value); ok && known == in && !over {
					p.theme[i] = c
				}
			}
			in = ""
		case "fmtScheme", "fontScheme", "objectDefaults", "extraClrSchemeLst":
			over = true // colours further on are not of the scheme
		default:
			in = name
		}
		return nil
	})
	return err
}

// hexColour reads RRGGBB or AARRGGBB; the transparency is not shown by spreadsheet programs.
func hexColour(s string) (intake.Fill, bool) {
	if len(s) == 8 {
		s = s[2:]
	}
	v, err := strconv.ParseUint(s, 16, 32)
	if len(s) != 6 || err != nil {
		return 0, false
	}
	return intake.RGB(uint8(v>>16), uint8(v>>8), uint8(v)), true
}

// colour works a CT_Color (18.3.1.15) out; none when it is automatic or unknown.
func (p palette) colour(e xml.StartElement) intake.Fill {
	c := p.base(e)
	if c.IsZero() {
		return c
	}
	tint, err := strconv.ParseFloat(attr(e, "tint"), 64)
	if err != nil || tint == 0 || tint < -1 || tint > 1 {
		return c
	}
	return tinted(c, tint)
}

func (p palette) base(e xml.StartElement) intake.Fill {
	if isTrue(attr(e, "auto")) {
		return 0
	}
	if s := attr(e, "theme"); s != "" {
		if i, err := strconv.Atoi(s); err == nil && i >= 0 && i < len(p.theme) {
			return p.theme[i]
		}
		return 0
	}
	if s := attr(e, "rgb"); s != "" {
		c, _ := hexColour(s)
		return c
	}
	i, err := strconv.Atoi(attr(e, "indexed"))
	switch {
	case err != nil || i < 0:
		return 0
	case i < len(p.indexed):
		return p.indexed[i]
	case i < 64 && i < len(excelize.IndexedColorMapping): // 64 and 65 are the system's own
		c, _ := hexColour(strings.TrimPrefix(excelize.IndexedColorMapping[i], "#"))
		return c
	}
	return 0
}

// tinted lightens or darkens a colour by its luminance in HSL (ECMA-376 part 1, 18.8.19).
func tinted(c intake.Fill, tint float64) intake.Fill {
	h, s, l := excelize.RGBToHSL(c.RGB())
	return intake.RGB(excelize.HSLToRGB(h, s, luminance(l, tint, 1)))
}

// luminance is the formula of 18.8.19, on a scale that ends at most:
// tint < 0: Lum' = Lum · (1 + tint); tint > 0: Lum' = Lum · (1 - tint) + (most - most · (1 - tint)).
func luminance(l, tint, most float64) float64 {
	if tint < 0 {
		return l * (1 + tint)
	}
	return l*(1-tint) + (most - most*(1-tint))
}
