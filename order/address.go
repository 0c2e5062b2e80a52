package order

import (
	"slices"
	"strings"
	"unicode/utf8"

	"solander/address"
	"solander/edition"
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

// Tidy trims the fields, puts the code in place of a country's name (see CountryNamed), country and postcode in
// capitals, and parts a postcode as its country writes it. It changes nothing else: a doubtful address is flagged, never silently altered.
func (a Address) Tidy() Address {
	t := strings.TrimSpace
	a.Name, a.Line1, a.Line2, a.City, a.Region = t(a.Name), t(a.Line1), t(a.Line2), t(a.City), t(a.Region)
	a.Country = t(a.Country)
	if code, ok := CountryNamed(a.Country); ok {
		a.Country = code
	}
	a.Postcode = tidyPostcode(a.Postcode, a.Country)
	return a
}

// Validate looks at the address alone: plain text, a known country, and the fields without which no label can
// be written. What is merely doubtful is told by Doubts. Faults: Invalid, in fields "ship_to.…".
func (a Address) Validate() error {
	var l fault.List
	form := address.Of(a.Country)
	l.Add(Text("ship_to.name", a.Name, 120, true))
	l.Add(Text("ship_to.line1", a.Line1, 120, true))
	l.Add(Text("ship_to.line2", a.Line2, 120, false))
	l.Add(Text("ship_to.city", a.City, 80, form.Requires(address.City)))
	l.Add(Text("ship_to.region", a.Region, 80, a.Country == "US" || a.Country == "CA" || a.Country == "AU"))
	l.Add(Text("ship_to.postcode", a.Postcode, 16, form.Requires(address.Postcode)))
	if !KnownCountry(a.Country) {
		l.Add(fault.Invalidf("ship_to.country", "%.20q is not a country", a.Country).ToMend("write its name, or its two letters of ISO 3166, such as US, CA or DE"))
	}
	return l.Err()
}

// Printable looks at an address that need not be whole: what it holds can be kept and printed. Faults: Invalid, in fields
// "ship_to.…".
func (a Address) Printable() error {
	var l fault.List
	for _, f := range []struct {
		field, text string
		most        int
	}{
		{"name", a.Name, 120},
		{"line1", a.Line1, 120},
		{"line2", a.Line2, 120},
		{"city", a.City, 80},
		{"region", a.Region, 80},
		{"postcode", a.Postcode, 16},
		{"country", a.Country, 80},
	} {
		l.Add(Text("ship_to."+f.field, f.text, f.most, false))
	}
	return l.Err()
}

// ValidateOrigin is Validate for the address that parcels come from: its postcode, from which zones are
// counted, must have its country's form.
func (a Address) ValidateOrigin() error {
	var l fault.List
	l.Add(a.Validate())
	if f := address.Of(a.Country); KnownCountry(a.Country) && a.Postcode != "" && !f.Fits(a.Postcode) {
		l.Add(fault.Invalidf("ship_to.postcode", "%.20q is not a postcode of %s", a.Postcode, a.Country).ToMend("write it like %s", f.Example()))
	}
	return l.Err()
}

// Block returns the lines of the address as they stand on a label, in its country's order, without the
// country when it is from's own or belongs to its domestic post.
func (a Address) Block(from string) []string {
	v := address.Values{Name: a.Name, City: a.City, Region: a.Region, Postcode: a.Postcode}
	for _, l := range []string{a.Line1, a.Line2} {
		if l != "" {
			v.Street = append(v.Street, l)
		}
	}
	lines := address.Of(a.Country).Lines(v)
	if address.Home(a.Country) != address.Home(from) && a.Country != "" {
		lines = append(lines, CountryName(a.Country))
	}
	return lines
}

// Same reports whether two addresses are one place, for combining parcels: the fields are the same but
// for capitals and spaces.
func (a Address) Same(b Address) bool {
	return slices.EqualFunc(a.fields(), b.fields(), func(x, y string) bool {
		return strings.EqualFold(strings.Join(strings.Fields(x), " "), strings.Join(strings.Fields(y), " "))
	})
}

func (a Address) fields() []string {
	a = a.Tidy()
	return []string{a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country}
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
	case strings.ContainsFunc(s, edition.Unprintable):
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
	case strings.ContainsFunc(s, func(r rune) bool { return edition.Unprintable(r) && !strings.ContainsRune("\n\r\t", r) }):
		return fault.Invalidf(field, "it holds control characters").ToMend("type it again")
	}
	return nil
}
