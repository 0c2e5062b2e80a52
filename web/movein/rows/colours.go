package rows

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"solander/fault"
	"solander/intake"
)

// mostColours bounds how many colours one page shows.
const mostColours = 256

// ColoursPath is the address of a style sheet with a class for each fill: pages may not carry styles of their own.
func ColoursPath(fills []intake.Fill) string {
	var hex []string
	for _, f := range fills {
		if h := strings.TrimPrefix(f.String(), "#"); h != "" && !slices.Contains(hex, h) && len(hex) < mostColours {
			hex = append(hex, h)
		}
	}
	if len(hex) == 0 {
		return ""
	}
	slices.Sort(hex)
	return "/intake/colours.css?of=" + strings.Join(hex, ",")
}

// FillClass is the class of a fill in that style sheet; "" for none.
func FillClass(f intake.Fill) string {
	if f.Plain() {
		return ""
	}
	return "of-" + strings.TrimPrefix(f.String(), "#")
}

// Sheet is the style sheet of such an address: each colour as the ground, black or white on it, whichever is read better.
func Sheet(of string) (string, error) {
	all := strings.Split(of, ",")
	if len(all) > mostColours {
		return "", fault.New(fault.TooLarge, "%d colours are too many", len(all))
	}
	var b strings.Builder
	for _, hex := range all {
		fill, err := intake.ParseFill("#" + hex)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&b, ".%s { background: %s; color: %s; print-color-adjust: exact; -webkit-print-color-adjust: exact; }\n", "of-"+strings.TrimPrefix(fill.String(), "#"), fill, inkOn(fill))
	}
	return b.String(), nil
}

// inkOn chooses black or white, whichever has the higher contrast on a colour.
// Source: WCAG 2.2, definitions of relative luminance and contrast ratio.
func inkOn(f intake.Fill) string {
	l := luminance(f)
	if (l+0.05)/0.05 >= 1.05/(l+0.05) {
		return "#000000"
	}
	return "#ffffff"
}

func luminance(f intake.Fill) float64 {
	part := func(v uint8) float64 {
		c := float64(v) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	r, g, b := f.RGB()
	return 0.2126*part(r) + 0.7152*part(g) + 0.0722*part(b)
}
