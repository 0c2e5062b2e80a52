package order

import (
	"strings"

	"solander/address"
)

// gap is where a country parts its postcodes.
type gap struct {
	at  int // before this character, counted from the end when negative
	sep string
}

// gaps are the countries whose postcodes are parted when they were typed in one piece.
// Sources, all from memory: USPS Publication 28 (ZIP+4, also of the territories); Canada Post addressing
// guidelines; Royal Mail guide to the postcode address file; the others by the Universal Postal Union's
// postal addressing systems.
var gaps = map[string]gap{
	"US": {5, "-"}, "PR": {5, "-"}, "VI": {5, "-"}, "GU": {5, "-"}, "AS": {5, "-"}, "MP": {5, "-"},
	"CA": {3, " "}, "GB": {-3, " "}, "JP": {3, "-"}, "NL": {4, " "},
}

// tidyPostcode puts a postcode in capitals and tidies its spaces. One that is written without a gap, or
// with a space for a hyphen or the other way round, is parted as its country writes it, when that gives
// the form of the country.
func tidyPostcode(text, country string) string {
	p := strings.ToUpper(strings.Join(strings.Fields(text), " "))
	f, ok := gaps[country]
	if !ok {
		return p
	}
	compact := strings.ReplaceAll(strings.ReplaceAll(p, " ", ""), "-", "")
	at := f.at
	if at < 0 {
		at += len(compact)
	}
	if at <= 0 || at >= len(compact) {
		return p
	}
	front, back := compact[:at], compact[at:]
	asTyped := p == compact || p == front+" "+back || p == front+"-"+back
	if parted := front + f.sep + back; asTyped && address.Of(country).Fits(parted) {
		return parted
	}
	return p
}
