package order

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"solander/fault"
)

// Address is where a parcel goes or comes from. Country is an ISO 3166-1 alpha-2 code.
type Address struct {
	Name     string `json:"name"`
	Line1    string `json:"line1"`
	Line2    string `json:"line2,omitempty"`
	City     string `json:"city"`
	Region   string `json:"region,omitempty"` // state, province, county
	Postcode string `json:"postcode,omitempty"`
	Country  string `json:"country"`
}

// forms are the postcode forms that are checked; other countries' postcodes are taken as typed.
// Sources: USPS Publication 28 (ZIP and ZIP+4); Canada Post addressing guidelines (A1A 1A1); Royal
// Mail PAF guide (outward and inward code); the others are plain digit counts. From memory.
var forms = map[string]struct {
	re      *regexp.Regexp
	example string
}{
	"US": {regexp.MustCompile(`^[0-9]{5}(-[0-9]{4})?$`), "24011 or 24011-1234"},
	"CA": {regexp.MustCompile(`^[A-Z][0-9][A-Z] [0-9][A-Z][0-9]$`), "K1A 0B1"},
	"GB": {regexp.MustCompile(`^[A-Z]{1,2}[0-9][A-Z0-9]? [0-9][A-Z]{2}$`), "EC1A 1BB"},
	"DE": {regexp.MustCompile(`^[0-9]{5}$`), "10115"},
	"FR": {regexp.MustCompile(`^[0-9]{5}$`), "75001"},
	"AT": {regexp.MustCompile(`^[0-9]{4}$`), "1010"},
	"CH": {regexp.MustCompile(`^[0-9]{4}$`), "8001"},
	"AU": {regexp.MustCompile(`^[0-9]{4}$`), "2000"},
	"JP": {regexp.MustCompile(`^[0-9]{3}-[0-9]{4}$`), "100-0001"},
	"NL": {regexp.MustCompile(`^[0-9]{4} [A-Z]{2}$`), "1012 AB"},
}

var iso2 = regexp.MustCompile(`^[A-Z]{2}$`)

// Tidy trims the fields, puts country and postcode in capitals and spaces a postcode as its country
// writes it. It changes nothing else: a doubtful address is flagged, never silently altered.
func (a Address) Tidy() Address {
	t := strings.TrimSpace
	a.Name, a.Line1, a.Line2, a.City, a.Region = t(a.Name), t(a.Line1), t(a.Line2), t(a.City), t(a.Region)
	a.Country = strings.ToUpper(t(a.Country))
	p := strings.ToUpper(strings.Join(strings.Fields(a.Postcode), " "))
	switch compact := strings.ReplaceAll(p, " ", ""); a.Country {
	case "CA":
		if len(compact) == 6 {
			p = compact[:3] + " " + compact[3:]
		}
	case "GB":
		if len(compact) >= 5 && len(compact) <= 7 {
			p = compact[:len(compact)-3] + " " + compact[len(compact)-3:]
		}
	case "NL":
		if len(compact) == 6 {
			p = compact[:4] + " " + compact[4:]
		}
	}
	a.Postcode = p
	return a
}

// Validate looks at the address alone.
func (a Address) Validate() error {
	var l fault.List
	l.Add(Text("ship_to.name", a.Name, 120, true))
	l.Add(Text("ship_to.line1", a.Line1, 120, true))
	l.Add(Text("ship_to.line2", a.Line2, 120, false))
	l.Add(Text("ship_to.city", a.City, 80, true))
	l.Add(Text("ship_to.region", a.Region, 80, a.Country == "US" || a.Country == "CA" || a.Country == "AU"))
	l.Add(Text("ship_to.postcode", a.Postcode, 16, false))
	if !iso2.MatchString(a.Country) {
		l.Add(fault.Invalidf("ship_to.country", "%.20q is not a country code", a.Country).ToMend("use the two letters of ISO 3166, such as US, CA or DE"))
	}
	if f, ok := forms[a.Country]; ok && !f.re.MatchString(a.Postcode) {
		l.Add(fault.Invalidf("ship_to.postcode", "%.20q is not a postcode of %s", a.Postcode, a.Country).ToMend("write it like %s", f.example))
	}
	return l.Err()
}

// Block returns the lines of the address as they stand on a label, without the country when it is
// from's own.
func (a Address) Block(from string) []string {
	out := []string{a.Name, a.Line1}
	if a.Line2 != "" {
		out = append(out, a.Line2)
	}
	switch a.Country {
	case "US", "CA", "AU":
		out = append(out, strings.TrimSpace(a.City+" "+a.Region+"  "+a.Postcode))
	case "GB":
		out = append(out, a.City)
		if a.Postcode != "" {
			out = append(out, a.Postcode)
		}
	default:
		out = append(out, strings.TrimSpace(a.Postcode+" "+a.City))
		if a.Region != "" {
			out = append(out, a.Region)
		}
	}
	if a.Country != from {
		out = append(out, CountryName(a.Country))
	}
	return out
}

// Same reports whether two addresses are one place, for combining parcels.
func (a Address) Same(b Address) bool {
	fold := func(x Address) string {
		return strings.ToLower(strings.Join(strings.Fields(fmt.Sprint(x.Name, "|", x.Line1, "|", x.Line2, "|", x.City, "|", x.Region, "|", x.Postcode, "|", x.Country)), " "))
	}
	return fold(a) == fold(b)
}

// Text checks a one-line field of at most most characters.
func Text(field, s string, most int, required bool) error {
	switch {
	case !utf8.ValidString(s):
		return fault.Invalidf(field, "it is not UTF-8 text").ToMend("type it again")
	case required && strings.TrimSpace(s) == "":
		return fault.Invalidf(field, "it is missing").ToMend("fill it in")
	case utf8.RuneCountInString(s) > most:
		return fault.Invalidf(field, "it is longer than %d characters", most).ToMend("shorten it")
	case strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }):
		return fault.Invalidf(field, "it holds control characters").ToMend("type it again on one line")
	}
	return nil
}

// Note checks a text of several lines.
func Note(field, s string) error {
	switch {
	case !utf8.ValidString(s):
		return fault.Invalidf(field, "it is not UTF-8 text").ToMend("type it again")
	case utf8.RuneCountInString(s) > 4000:
		return fault.Invalidf(field, "it is longer than 4000 characters").ToMend("shorten it")
	case strings.ContainsFunc(s, func(r rune) bool { return r < ' ' && r != '\n' && r != '\r' && r != '\t' || r == 0x7f }):
		return fault.Invalidf(field, "it holds control characters").ToMend("type it again")
	}
	return nil
}
