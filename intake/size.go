package intake

import (
	"regexp"
	"strings"
	"sync"

	"solander/fault"
	"solander/measure"
	"solander/sheet"
)

// sizeRead is a size as written, width before height.
type sizeRead struct{ width, height measure.Length }

var (
	sizePattern = regexp.MustCompile(`^([0-9]{1,4}(?:[.,][0-9]{1,3})?(?: ?[0-9]/[0-9]{1,2})?) ?("|”|″|''|in\.?|inch|inches|cm|mm|m)? ?(?:x|×|by|\*) ?([0-9]{1,4}(?:[.,][0-9]{1,3})?(?: ?[0-9]/[0-9]{1,2})?) ?("|”|″|''|in\.?|inch|inches|cm|mm|m)?$`)
	inches      = map[string]bool{`"`: true, "”": true, "″": true, "''": true, "in": true, "in.": true, "inch": true, "inches": true}
)

// namedSizes are the standard sheets by their names in small letters.
var namedSizes = sync.OnceValue(func() map[string]sizeRead {
	all := map[string]sizeRead{}
	for _, n := range sheet.Sizes() {
		all[strings.ToLower(n.Name)] = sizeRead{n.Width, n.Height}
	}
	return all
})

// sizeOf reads a size: "12x18", `12" × 18"`, "30 x 40 cm", "A3". A size without a unit takes unit; without that it is not
// read. ok is false when the text holds no size.
func sizeOf(text, unit string) (z sizeRead, ok bool, t trouble) {
	s := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if s == "" {
		return z, false, t
	}
	if z, ok = namedSizes()[s]; ok {
		return z, true, t
	}
	bad := trouble{"size", "this is no size: " + fault.Clip(text), "write it like 12 x 18 in or 30 x 40 cm", true, ""}
	if len(s) > 60 {
		return z, false, bad
	}
	m := sizePattern.FindStringSubmatch(s)
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
		return z, false, trouble{"size.unit", "the unit of the size is missing: " + fault.Clip(text), "say which unit sizes are in", true, "unit"}
	}
	var err1, err2 error
	z.width, err1 = lengthOf(m[1], first)
	z.height, err2 = lengthOf(m[3], second)
	if err1 != nil || err2 != nil || z.width <= 0 || z.height <= 0 {
		return sizeRead{}, false, bad
	}
	return z, true, t
}

func lengthOf(digits, unit string) (measure.Length, error) {
	if inches[unit] {
		unit = "in"
	}
	return measure.ParseLength(digits+" "+unit, "")
}
