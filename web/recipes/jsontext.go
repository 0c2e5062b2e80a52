package recipes

import (
	"encoding/json"
	"regexp"
	"strconv"
	"strings"

	"solander/measure"
)

// measured finds the lengths and masses of wraps and house rules as they are marshalled, a line each.
var measured = regexp.MustCompile(`"(core|flat_to|between|empty|sides|thickness|ends|across|longest_over|longest_to|mass|mass_over|mass_to)": ([0-9]+)`)

// pretty prints wraps or house rules as JSON for a person: lengths and masses as texts of the studio's
// units, which read back to the same nanometre and nanogram.
func pretty(v any, u measure.System) string {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return ""
	}
	return measured.ReplaceAllStringFunc(string(b), func(found string) string {
		m := measured.FindStringSubmatch(found)
		n, err := strconv.ParseInt(m[2], 10, 64)
		if err != nil {
			return found
		}
		text := measure.Length(n).In(u)
		if strings.HasPrefix(m[1], "mass") {
			text = measure.Mass(n).In(u)
		}
		return strconv.Quote(m[1]) + ": " + strconv.Quote(text)
	})
}
