package order

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/language"
	"golang.org/x/text/language/display"
	"golang.org/x/text/unicode/norm"
)

// variants are names of countries beside those of the Unicode CLDR and the codes of ISO 3166-1: short, common and
// former ones. From memory.
var variants = map[string]string{
	"usa": "US", "u s a": "US", "u s": "US", "united states of america": "US", "america": "US",
	"uk": "GB", "u k": "GB", "great britain": "GB", "britain": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "northern ireland": "GB",
	"brd": "DE", "federal republic of germany": "DE", "holland": "NL", "czech republic": "CZ", "ceska republika": "CZ",
	"republic of ireland": "IE", "eire": "IE", "south korea": "KR", "korea": "KR", "republic of korea": "KR", "north korea": "KP",
	"russia": "RU", "russian federation": "RU", "turkey": "TR", "turkiye": "TR", "macedonia": "MK", "swaziland": "SZ", "burma": "MM", "ivory coast": "CI",
	"cape verde": "CV", "east timor": "TL", "vatican": "VA", "holy see": "VA", "palestine": "PS", "macau": "MO", "uae": "AE", "u a e": "AE", "prc": "CN", "viet nam": "VN",
}

// readIn are the languages in which a country's name is understood beside English and its own: those of the
// address books that come to a seller most often. Choice from memory.
var readIn = []language.Tag{
	language.German, language.French, language.Spanish, language.Italian, language.Portuguese, language.Dutch, language.Swedish, language.Danish,
	language.Norwegian, language.Finnish, language.Polish, language.Czech, language.Hungarian, language.Romanian, language.Greek, language.Russian,
	language.Ukrainian, language.Turkish, language.Japanese, language.Chinese, language.TraditionalChinese, language.Korean,
}

// countryCodes maps folded codes and names to codes. A name that two countries have in different languages is
// no country's, unless one has it in English or at home.
var countryCodes = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	var codes []string
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if code := string([]rune{a, b}); KnownCountry(code) {
				codes = append(codes, code)
				all[foldName(code)] = code
				all[foldName(CountryName(code))] = code
			}
		}
	}
	for name, code := range variants {
		all[name] = code
	}
	addNames(all, codes, homeTongues)
	addNames(all, codes, func(string) []language.Tag { return readIn })
	return all
})

// homeTongues are the likely language of a country (CLDR, likely subtags), and others that are spoken all over one.
func homeTongues(code string) []language.Tag {
	region, err := language.ParseRegion(code)
	if err != nil {
		return nil
	}
	likely, err := language.Compose(language.Und, region)
	if err != nil {
		return nil
	}
	base, _ := likely.Base()
	tag, err := language.Compose(base)
	if err != nil {
		return nil
	}
	return append([]language.Tag{tag}, tongues[code]...)
}

// tongues are further languages of countries that have several. Source: their constitutions, from memory.
var tongues = map[string][]language.Tag{
	"BE": {language.Dutch, language.French, language.German}, "CH": {language.German, language.French, language.Italian, language.MustParse("rm")},
	"CA": {language.French}, "FI": {language.Swedish}, "IE": {language.MustParse("ga")}, "LU": {language.French, language.German, language.MustParse("lb")},
	"MT": {language.MustParse("mt")}, "NZ": {language.MustParse("mi")}, "CY": {language.Turkish}, "ES": {language.Catalan, language.MustParse("eu"), language.MustParse("gl")},
	"GB": {language.MustParse("cy")}, "NO": {language.MustParse("nn")},
}

// addNames adds the names of countries in some languages that no country has yet; what two would have, none has.
func addNames(all map[string]string, codes []string, tongues func(code string) []language.Tag) {
	found := map[string]string{}
	for _, code := range codes {
		region := language.MustParseRegion(code)
		for _, tag := range tongues(code) {
			names := display.Regions(tag)
			if names == nil {
				continue
			}
			name := foldName(names.Name(region))
			if other, taken := found[name]; taken && other != code {
				found[name] = "" // two have it
				continue
			}
			found[name] = code
		}
	}
	for name, code := range found {
		if all[name] == "" && name != "" && code != "" {
			all[name] = code
		}
	}
}

// foldName makes names comparable: case, accents and marks other than letters and digits do not count, nor a
// leading "the".
func foldName(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r) || r == '\'' || r == '’':
			return -1
		case unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mc, r):
			return r
		}
		return ' '
	}, norm.NFKD.String(s))
	return strings.TrimPrefix(strings.Join(strings.Fields(cases.Fold().String(s)), " "), "the ")
}

// CountryNamed returns the code of a country written as its code, as its name in English, in its own languages or
// in a language of readIn (Unicode CLDR, through golang.org/x/text), or as a common variant of it: "de", "Germany",
// "Deutschland", "Allemagne", "UK". false when it is none, or might be two.
func CountryNamed(text string) (string, bool) {
	if KnownCountry(text) {
		return text, true
	}
	if len(text) > mostCountry {
		return "", false
	}
	code, ok := countryCodes()[foldName(text)]
	return code, ok
}

// mostCountry is how many bytes a country's name may have.
const mostCountry = 200
