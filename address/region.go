package address

import (
	"regexp"
	"strings"
	"sync"
)

// Part is a state, province or prefecture of a country that writes one on its labels.
type Part struct {
	Key   string // as it is written: "VA", "MI", "東京都"
	Name  string
	latin string
	codes *regexp.Regexp // how its postcodes begin; nil = not known
}

// Called reports whether text is the part's key or name, whatever its capitals.
func (p Part) Called(text string) bool {
	return strings.EqualFold(text, p.Key) || strings.EqualFold(text, p.Name) || p.latin != "" && strings.EqualFold(text, p.latin)
}

// Parts returns the parts of a country of which the metadata knows the postcodes; none for other countries.
func Parts(country string) []Part { return parts()[country] }

// PartOf finds a part by its key or name.
func PartOf(country, text string) (Part, bool) {
	for _, p := range Parts(country) {
		if p.Called(text) {
			return p, true
		}
	}
	return Part{}, false
}

// PartsOf returns the parts that a postcode may lie in, by how it begins; none when it is in none that is
// known. A ZIP may be in two states: the exceptions of the postal operator's own list count as well.
func PartsOf(country, postcode string) []Part {
	var out []Part
	for _, p := range Parts(country) {
		if p.has(country, postcode) {
			out = append(out, p)
		}
	}
	return out
}

// has reports whether a postcode may lie in the part.
func (p Part) has(country, postcode string) bool {
	return p.codes != nil && p.codes.MatchString(postcode) || country == "US" && len(postcode) >= 5 && exceptions()[postcode[:5]] == p.Key
}

// Agree reports whether a postcode may lie in the part called region. It is true where nothing is known of
// either: doubt needs a ground.
func Agree(country, region, postcode string) bool {
	p, ok := PartOf(country, region)
	if !ok || p.codes == nil {
		return true
	}
	return p.has(country, postcode)
}

var parts = sync.OnceValue(func() map[string][]Part {
	out := make(map[string][]Part)
	for _, r := range rows("regions.csv", 5) {
		p := Part{Key: r[1], Name: r[2], latin: r[3]}
		if r[4] != "" {
			p.codes = regexp.MustCompile(`^(?:` + r[4] + `)`)
		}
		out[r[0]] = append(out[r[0]], p)
	}
	return out
})

var exceptions = sync.OnceValue(func() map[string]string {
	out := make(map[string]string)
	for _, r := range rows("exceptions.csv", 2) {
		out[r[0]] = r[1]
	}
	return out
})
