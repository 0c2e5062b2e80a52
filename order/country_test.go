package order

import "testing"

// Source: ISO 3166-1: 249 officially assigned alpha-2 codes (count and samples from memory). Three more
// are known, for postal operators list them: AC, TA and XK.
func TestKnownCountries(t *testing.T) {
	n := 0
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			code := string([]rune{a, b})
			if !KnownCountry(code) {
				continue
			}
			n++
			if name := CountryName(code); name == code || name == "" {
				t.Errorf("%s has no name", code)
			}
		}
	}
	if n != 249+3 {
		t.Errorf("%d countries are known, want 252", n)
	}
	for _, code := range []string{"US", "CA", "GB", "DE", "HK", "PR", "GG", "SS", "CW", "BL", "AX", "TW", "PS", "AC", "TA", "XK"} {
		if !KnownCountry(code) {
			t.Errorf("%s is not known", code)
		}
	}
	// Reserved, withdrawn, private and no codes at all. Source: ISO 3166-1 and 3166-3, from memory.
	for _, code := range []string{"UK", "EU", "EZ", "UN", "IC", "EA", "CP", "DG", "DD", "SU", "YU", "CS", "AN", "BU", "ZR", "TP", "FX", "NT", "XX", "ZZ", "QO", "AA", "us", "USA", "840", "001", "", "U", "\xff\xff", "ÄÖ"} {
		if KnownCountry(code) {
			t.Errorf("%q is taken for a country", code)
		}
	}
}

// Source: Unicode CLDR, English territory names; SZ and MK as renamed in ISO 3166-1 in 2018 and 2019.
func TestCountryNames(t *testing.T) {
	for code, want := range map[string]string{
		"US": "United States", "CA": "Canada", "GB": "United Kingdom", "DE": "Germany", "FR": "France", "JP": "Japan", "CI": "Côte d’Ivoire",
		"CZ": "Czechia", "KR": "South Korea", "RE": "Réunion", "VA": "Vatican City", "HK": "Hong Kong", "MO": "Macao", "MK": "North Macedonia", "SZ": "Eswatini",
		"XX": "XX", "": "", "nonsense": "nonsense",
	} {
		if got := CountryName(code); got != want {
			t.Errorf("%s is %q, want %q", code, got, want)
		}
	}
}
