package order

import (
	"testing"

	"pgregory.net/rapid"
)

// Sources: ISO 3166-1 codes; Unicode CLDR territory names in English and in the countries' own languages; the
// common variants from memory.
func TestCountriesByName(t *testing.T) {
	for text, want := range map[string]string{
		"DE": "DE", "de": "DE", "Germany": "DE", "germany ": "DE", "Deutschland": "DE", "Allemagne": "DE", "Alemania": "DE", "ドイツ": "DE",
		"US": "US", "USA": "US", "U.S.A.": "US", "United States": "US", "the United States of America": "US", "Vereinigte Staaten": "US", "États-Unis": "US", "Estados Unidos": "US",
		"UK": "GB", "U.K.": "GB", "Great Britain": "GB", "England": "GB", "Scotland": "GB", "United Kingdom": "GB",
		"Österreich": "AT", "Osterreich": "AT", "OSTERREICH": "AT", "Schweiz": "CH", "Suisse": "CH", "Svizzera": "CH", "Nederland": "NL", "Holland": "NL", "The Netherlands": "NL",
		"België": "BE", "Belgique": "BE", "España": "ES", "Espana": "ES", "Italia": "IT", "Sverige": "SE", "Norge": "NO", "Suomi": "FI", "Danmark": "DK", "Polska": "PL",
		"日本": "JP", "中国": "CN", "대한민국": "KR", "South Korea": "KR", "Ελλάδα": "GR", "Россия": "RU", "Україна": "UA", "Türkiye": "TR", "Turkey": "TR",
		"Côte d’Ivoire": "CI", "Cote d'Ivoire": "CI", "Ivory Coast": "CI", "Czech Republic": "CZ", "Česko": "CZ", "Éire": "IE", "Ireland": "IE", "Brasil": "BR", "México": "MX",
		"Hong Kong": "HK", "Georgia": "GE", "Niger": "NE", "Nigeria": "NG", "Guinea": "GN", "Guinea-Bissau": "GW", "Australia": "AU", "Austria": "AT", "Puerto Rico": "PR",
	} {
		if got, ok := CountryNamed(text); got != want || !ok {
			t.Errorf("%q is %q, want %s", text, got, want)
		}
		a := us()
		a.Country = text
		if got := a.Tidy().Country; got != want {
			t.Errorf("an address in %q is in %q, want %s", text, got, want)
		}
	}
	for _, text := range []string{"", " ", "Atlantis", "XX", "EU", "Europe", "Texas", "840", "Deutsch", "United", "\xff", "the"} {
		if got, ok := CountryNamed(text); ok {
			t.Errorf("%q is taken for %s", text, got)
		}
	}
}

// Every country is known by its code in small letters and by the name that the papers print.
func TestEveryCountryIsKnownByItsName(t *testing.T) {
	var codes []string
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if code := string([]rune{a, b}); KnownCountry(code) {
				codes = append(codes, code)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom(codes).Draw(t, "code")
		for _, text := range []string{CountryName(code), " " + string(rune(code[0]+32)) + string(rune(code[1]+32))} {
			if got, _ := CountryNamed(text); got != code {
				t.Fatalf("%q is %q, want %s", text, got, code)
			}
		}
	})
}
