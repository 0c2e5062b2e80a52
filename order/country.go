package order

import (
	"golang.org/x/text/language"
	"golang.org/x/text/language/display"
)

// CountryName returns the English name of an ISO 3166-1 alpha-2 country (Unicode CLDR, through
// golang.org/x/text), or the code itself when it is unknown.
func CountryName(code string) string {
	r, err := language.ParseRegion(code)
	if err != nil {
		return code
	}
	if n := display.English.Regions().Name(r); n != "" {
		return n
	}
	return code
}

// KnownCountry reports whether code is a country of ISO 3166-1.
func KnownCountry(code string) bool {
	r, err := language.ParseRegion(code)
	return err == nil && r.IsCountry() && r.String() == code
}
