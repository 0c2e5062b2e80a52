package order

import (
	"sync"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"
)

// renamed holds the names that changed after the release of CLDR that golang.org/x/text carries, and
// those that CLDR qualifies for other lists than addresses.
// Sources: ISO 3166-1 newsletters of 2018 (SZ) and 2019 (MK), from memory; CLDR's short forms (HK, MO).
var renamed = map[string]string{"HK": "Hong Kong", "MK": "North Macedonia", "MO": "Macao", "SZ": "Eswatini"}

// unlisted are regions of CLDR that are no country of an address: reserved codes, to which the post goes
// by way of another country, and unions.
var unlisted = map[string]bool{"CP": true, "DG": true, "EA": true, "EU": true, "EZ": true, "IC": true, "UN": true}

// CountryName returns the English name of an ISO 3166-1 alpha-2 country (Unicode CLDR, through
// golang.org/x/text), or the code itself when it is unknown.
func CountryName(code string) string {
	if n, ok := countries()[code]; ok {
		return n
	}
	return nameOf(code)
}

func nameOf(code string) string {
	if n, ok := renamed[code]; ok {
		return n
	}
	r, err := language.ParseRegion(code)
	if err != nil {
		return code
	}
	if n := display.English.Regions().Name(r); n != "" {
		return n
	}
	return code
}

// KnownCountry reports whether code is an officially assigned country of ISO 3166-1 alpha-2, or one of
// three beside it that postal operators list on their own: AC (Ascension), TA (Tristan da Cunha) and
// XK (Kosovo). Withdrawn codes and other names of a country, such as UK for GB, are not known.
func KnownCountry(code string) bool {
	_, known := countries()[code]
	return known
}

// countries are the names of the known countries by their codes. An address is looked at in several places, a file of addresses row by
// row: they are looked up once.
var countries = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if code := string([]rune{a, b}); isCountry(code) {
				all[code] = nameOf(code)
			}
		}
	}
	return all
})

func isCountry(code string) bool {
	r, err := language.ParseRegion(code)
	return err == nil && r.IsCountry() && r.String() == code && r.Canonicalize() == r && !unlisted[code] && nameOf(code) != code
}
