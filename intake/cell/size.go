package cell

import (
	"regexp"
	"strings"
	"sync"

	"solander/fault"
	"solander/measure"
	"solander/sheet"
)

// SizeRead is a size as written, width before height.
type SizeRead struct{ Width, Height measure.Length }

var (
	SizePattern = regexp.MustCompile(`^([0-9]{1,4}(?:[.,][0-9]{1,3})?(?: ?[0-9]/[0-9]{1,2})?) ?("|”|″|''|in\.?|inch|inches|cm|mm|m)? ?(?:x|×|by|\*) ?([0-9]{1,4}(?:[.,][0-9]{1,3})?(?: ?[0-9]/[0-9]{1,2})?) ?("|”|″|''|in\.?|inch|inches|cm|mm|m)?$`)
	Inches      = map[string]bool{`"`: true, "”": true, "″": true, "''": true, "in": true, "in.": true, "inch": true, "inches": true}
)

// namedSizes are the standard sheets by their names in small letters.
var namedSizes = sync.OnceValue(func() map[string]SizeRead {
	all := map[string]SizeRead{}
	for _, n := range sheet.Sizes() {
		all[strings.ToLower(n.Name)] = SizeRead{n.Width, n.Height}
	}
	return all
})

// SizeOf reads a size: "12x18", `12" × 18"`, "30 x 40 cm", "A3". A size without a unit takes unit; without that it is not
// read. ok is false when the text holds no size.
func SizeOf(text, unit string) (z SizeRead, ok bool, t Trouble) {
	s := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if s == "" {
		return z, false, t
	}
	if z, ok = namedSizes()[s]; ok {
		return z, true, t
	}
	bad := Trouble{"size", "this is no size: " + fault.Clip(text), "write it like 12 x 18 in or 30 x 40 cm", true, ""}
	if len(s) > 60 {
		return z, false, bad
	}
	m := SizePattern.FindStringSubmatch(s)
	if m == nil {
		return z, false, bad
	}
	first, second := m[2], m[4]
	if second == "" {
		second = first
	}
	if second == "" {
		second = unit
	}
	if first == "" {
		first = second
	}
	if second == "" {
		return z, false, Trouble{"size.unit", "the unit of the size is missing: " + fault.Clip(text), "say which unit sizes are in", true, "unit"}
	}
	var err1, err2 error
	z.Width, err1 = lengthOf(m[1], first)
	z.Height, err2 = lengthOf(m[3], second)
	if err1 != nil || err2 != nil || z.Width <= 0 || z.Height <= 0 {
		return SizeRead{}, false, bad
	}
	return z, true, t
}

func lengthOf(digits, unit string) (measure.Length, error) {
	if Inches[unit] {
		unit = "in"
	}
	return measure.ParseLength(digits+" "+unit, "")
}
