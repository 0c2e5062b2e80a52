package order

import (
	"regexp"
	"strings"
)

// form is how a country writes its postcodes.
type form struct {
	re      *regexp.Regexp
	example string
	gap     int    // Tidy parts a postcode before this character, counted from the end when negative; 0 = not
	sep     string // with this
}

var zip = form{regexp.MustCompile(`^[0-9]{5}(-[0-9]{4})?$`), "24011 or 24011-1234", 5, "-"}

// forms are the postcode forms that are checked; other countries' postcodes are taken as typed.
// Sources, all from memory: USPS Publication 28 (ZIP and ZIP+4, also of the territories); Canada Post
// addressing guidelines (A1A 1A1, no D, F, I, O, Q or U, no W or Z in front); Royal Mail guide to the
// postcode address file (outward and inward code, the latter without C, I, K, M, O, V); the others are
// plain counts of digits and letters.
var forms = map[string]form{
	"US": zip, "PR": zip, "VI": zip, "GU": zip, "AS": zip, "MP": zip,
	"CA": {regexp.MustCompile(`^[ABCEGHJ-NPRSTVXY][0-9][ABCEGHJ-NPRSTV-Z] [0-9][ABCEGHJ-NPRSTV-Z][0-9]$`), "K1A 0B1", 3, " "},
	"GB": {regexp.MustCompile(`^[A-Z]{1,2}[0-9][A-Z0-9]? [0-9][ABD-HJLNP-UW-Z]{2}$`), "EC1A 1BB", -3, " "},
	"DE": {re: regexp.MustCompile(`^[0-9]{5}$`), example: "10115"},
	"FR": {re: regexp.MustCompile(`^[0-9]{5}$`), example: "75001"},
	"AT": {re: regexp.MustCompile(`^[0-9]{4}$`), example: "1010"},
	"CH": {re: regexp.MustCompile(`^[0-9]{4}$`), example: "8001"},
	"AU": {re: regexp.MustCompile(`^[0-9]{4}$`), example: "2000"},
	"JP": {regexp.MustCompile(`^[0-9]{3}-[0-9]{4}$`), "100-0001", 3, "-"},
	"NL": {regexp.MustCompile(`^[1-9][0-9]{3} [A-Z]{2}$`), "1012 AB", 4, " "},
}

// tidyPostcode puts a postcode in capitals and tidies its spaces. One that is written without a gap, or
// with a space for a hyphen or the other way round, is parted as its country writes it, when that gives
// the form of the country.
func tidyPostcode(text, country string) string {
	p := strings.ToUpper(strings.Join(strings.Fields(text), " "))
	f, ok := forms[country]
	if !ok || f.gap == 0 {
		return p
	}
	compact := strings.NewReplacer(" ", "", "-", "").Replace(p)
	at := f.gap
	if at < 0 {
		at += len(compact)
	}
	if at <= 0 || at >= len(compact) {
		return p
	}
	front, back := compact[:at], compact[at:]
	asTyped := p == compact || p == front+" "+back || p == front+"-"+back
	if parted := front + f.sep + back; asTyped && f.re.MatchString(parted) {
		return parted
	}
	return p
}
