package address

import (
	"slices"
	"strings"
	"unicode"
)

// Values are the fields of one address.
type Values struct {
	Name                   string
	Street                 []string // without empty lines
	City, Region, Postcode string
}

func (v Values) of(f Field) string {
	switch f {
	case Name:
		return v.Name
	case Street:
		return strings.Join(v.Street, "\n")
	case City:
		return v.City
	case Region:
		return v.Region
	case Postcode:
		return v.Postcode
	}
	return ""
}

// latinOnly reports whether street and town are written in Latin letters.
func (v Values) latinOnly() bool {
	for _, r := range v.of(Street) + v.City {
		if unicode.IsLetter(r) && !unicode.Is(unicode.Latin, r) {
			return false
		}
	}
	return true
}

// Lines returns the lines of a label without the country, in the country's order: in that of its own script
// when the address is written in it, else in that for Latin letters. A field for which the country has no
// place is kept: the town before the region, the region below the town, the postcode last. Nothing is lost
// and no line is empty.
func (f Form) Lines(v Values) []string {
	format := f.local
	if v.latinOnly() {
		format = f.latin
	}
	if territories[f.Country] && v.Region == "" {
		v.Region = f.Country // ROTA MP  96951
	}
	var out []string
	for _, line := range strings.Split(withPlaces(format, v), "%n") {
		for _, l := range strings.Split(f.line(line, v), "\n") {
			if l = strings.TrimSpace(l); l != "" {
				out = append(out, l)
			}
		}
	}
	return out
}

// withPlaces adds to a format the places of fields that are filled and that it lacks. A word that the format
// itself carries, as GUERNSEY, counts as its field; a hyphen between two fields is no word.
func withPlaces(format string, v Values) string {
	lines := strings.Split(format, "%n")
	has := func(f Field) bool {
		text := v.of(f)
		return text == "" || strings.Contains(format, "%"+string(f)) ||
			strings.ContainsFunc(text, unicode.IsLetter) && slices.ContainsFunc(lines, func(l string) bool { return strings.EqualFold(literal(l), text) })
	}
	below := func(f Field) {
		at := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, "%"+string(f)) })
		if at < 0 {
			at = slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, "%A") })
		}
		lines = slices.Insert(lines, at+1, "")
		lines[at+1] = "%"
	}
	if !has(City) {
		if strings.Contains(format, "%S") && v.Region != "" {
			for i := range lines {
				lines[i] = strings.Replace(lines[i], "%S", "%C, %S", 1)
			}
		} else {
			below(Street)
			lines[slices.Index(lines, "%")] = "%C"
		}
	}
	if !has(Region) {
		below(City)
		lines[slices.Index(lines, "%")] = "%S"
	}
	if !has(Postcode) {
		lines = append(lines, "%Z")
	}
	return strings.Join(lines, "%n")
}

// literal returns what a line of a format says itself, without its fields.
func literal(line string) string {
	var b strings.Builder
	for i := 0; i < len(line); i++ {
		if line[i] == '%' {
			i++
			continue
		}
		b.WriteByte(line[i])
	}
	return strings.TrimSpace(b.String())
}

// line fills one line. What stands before a field that is empty goes with it; what begins a line stays when
// it is a word.
func (f Form) line(format string, v Values) string {
	out, before, fields := "", "", 0
	for i := 0; i < len(format); i++ {
		if format[i] != '%' || i+1 == len(format) {
			before += format[i : i+1]
			continue
		}
		i++
		field := Field(format[i])
		text := v.of(field)
		fields++
		switch {
		case text == "":
			if out != "" || before == f.prefix {
				before = ""
			}
			continue
		case field == Postcode && f.prefix != "" && strings.HasPrefix(text, f.prefix):
			before = strings.TrimSuffix(before, f.prefix)
		}
		if out == "" && !word(before) {
			before = ""
		}
		out, before = out+before+text, ""
	}
	if word(before) && before != f.prefix && (fields == 0 || out == "") {
		out += before
	}
	return out
}

// word reports whether a piece of a format says something, and does not only part fields.
func word(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return unicode.IsLetter(r) || r == '〒' })
}
