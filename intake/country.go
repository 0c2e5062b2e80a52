package intake

import (
	"sync"

	"solander/order"
)

// otherNames are names of countries beside those of the Unicode CLDR and the codes of ISO 3166-1: short and common ones, and
// own names of a few. From memory.
var otherNames = map[string]string{
	"usa": "US", "u s a": "US", "u s": "US", "united states of america": "US", "america": "US",
	"uk": "GB", "u k": "GB", "great britain": "GB", "britain": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "northern ireland": "GB",
	"deutschland": "DE", "brd": "DE", "österreich": "AT", "schweiz": "CH", "suisse": "CH", "svizzera": "CH", "holland": "NL", "the netherlands": "NL",
	"nederland": "NL", "belgië": "BE", "belgique": "BE", "españa": "ES", "italia": "IT", "danmark": "DK", "sverige": "SE", "norge": "NO", "suomi": "FI",
	"czech republic": "CZ", "republic of ireland": "IE", "eire": "IE", "south korea": "KR", "korea": "KR", "russia": "RU", "turkey": "TR",
}

// countries maps folded names and codes to codes.
var countries = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if code := string([]rune{a, b}); order.KnownCountry(code) {
				all[Fold(code)] = code
				all[Fold(order.CountryName(code))] = code
			}
		}
	}
	for name, code := range otherNames {
		all[Fold(name)] = code
	}
	return all
})

// countryOf reads a country's name or code.
func countryOf(text string) (string, bool) {
	code, ok := countries()[Fold(text)]
	return code, ok
}
