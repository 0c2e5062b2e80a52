package measure

import (
	"regexp"
	"strings"
)

// weights finds what may be a grammage in a paper's name: "310 gsm", "310 g/m²", "300g", "80 lb cover", "310".
var weights = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(gsm\b|g\s?/\s?m(?:2\b|²)|g\b|(?:lbs?|#)\s*[a-z]+|\b)`)

// Beside returns a paper's name with its grammage, which stands there once: "cotton rag 310 gsm" of "cotton rag",
// and of "cotton rag, 310 gsm" or "Rag 310" the name alone.
func (g Grammage) Beside(name string) string {
	name = strings.TrimSpace(name)
	if g <= 0 || g.saidIn(name) {
		return name
	}
	return strings.TrimSpace(name + " " + g.String())
}

// saidIn reports whether a name says a grammage: any with its unit, or this one as a number alone.
func (g Grammage) saidIn(name string) bool {
	for _, m := range weights.FindAllStringSubmatch(name, -1) {
		unit := strings.ToLower(strings.Join(strings.Fields(m[2]), ""))
		switch {
		case unit == "":
			if said, err := ParseGrammage(m[1]); err == nil && said == g {
				return true
			}
		case unit == "g":
			return true
		default:
			if _, err := ParseGrammage(m[1] + " " + m[2]); err == nil || strings.HasPrefix(unit, "g") {
				return true
			}
		}
	}
	return false
}
