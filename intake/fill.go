package intake

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"solander/fault"
)

// Fill is the colour of a cell's ground, one of the artist's own. The zero Fill is none.
type Fill uint32

const filled Fill = 1 << 24

// RGB returns the fill of an sRGB colour.
func RGB(r, g, b uint8) Fill { return filled | Fill(r)<<16 | Fill(g)<<8 | Fill(b) }

// ParseFill reads "#C6EFCE"; "" is none. Faults: Invalid.
func ParseFill(s string) (Fill, error) {
	if s == "" {
		return 0, nil
	}
	hex, ok := strings.CutPrefix(s, "#")
	v, err := strconv.ParseUint(hex, 16, 32)
	if !ok || len(hex) != 6 || err != nil {
		return 0, fault.New(fault.Invalid, "%q is not a colour", fault.Clip(s)).ToMend("write it like #C6EFCE")
	}
	return filled | Fill(v), nil
}

// RGB returns the parts of the colour; three zeros for none.
func (f Fill) RGB() (r, g, b uint8) { return uint8(f >> 16), uint8(f >> 8), uint8(f) }

// IsZero reports no fill.
func (f Fill) IsZero() bool { return f == 0 }

// Plain reports a fill that nobody sees on paper: none, or white.
func (f Fill) Plain() bool { return f == 0 || f == RGB(255, 255, 255) }

// String prints "#C6EFCE", or "" for none.
func (f Fill) String() string {
	if f == 0 {
		return ""
	}
	return fmt.Sprintf("#%06X", uint32(f&0xFFFFFF))
}

// Word names the colour roughly, for those who do not see it: "pale green", "dark grey"; "" for none.
// The bounds of hue are common practice, no source.
func (f Fill) Word() string {
	if f == 0 {
		return ""
	}
	r, g, b := f.RGB()
	hi, lo := max(r, g, b), min(r, g, b)
	light := (int(hi) + int(lo)) / 2
	if int(hi)-int(lo) < 18 {
		return greyWord(light)
	}
	name := hueWord(hue(r, g, b))
	switch {
	case light >= 190:
		return "pale " + name
	case light < 80:
		return "dark " + name
	}
	return name
}

func greyWord(light int) string {
	switch {
	case light >= 250:
		return "white"
	case light >= 190:
		return "pale grey"
	case light >= 80:
		return "grey"
	case light >= 20:
		return "dark grey"
	}
	return "black"
}

// hue returns the hue in degrees, 0 to 359, rounded.
func hue(r, g, b uint8) int {
	x, y, z := float64(r), float64(g), float64(b)
	return (int(math.Round(math.Atan2(math.Sqrt(3)*(y-z), 2*x-y-z)*180/math.Pi)) + 360) % 360
}

func hueWord(degrees int) string {
	for _, h := range []struct {
		below int
		name  string
	}{{15, "red"}, {42, "orange"}, {68, "yellow"}, {165, "green"}, {200, "turquoise"}, {255, "blue"}, {290, "violet"}, {345, "pink"}} {
		if degrees < h.below {
			return h.name
		}
	}
	return "red"
}

// MarshalJSON writes "#C6EFCE" or "".
func (f Fill) MarshalJSON() ([]byte, error) { return []byte(strconv.Quote(f.String())), nil }

// UnmarshalJSON reads what MarshalJSON writes. Faults: Invalid.
func (f *Fill) UnmarshalJSON(b []byte) error {
	s, err := strconv.Unquote(string(b))
	if err != nil {
		return fault.New(fault.Invalid, "a colour is a text like #C6EFCE").ToMend("put it in quotes")
	}
	v, err := ParseFill(s)
	if err == nil {
		*f = v
	}
	return err
}
