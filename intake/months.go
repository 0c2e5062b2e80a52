package intake

import (
	"strings"
	"time"
)

// monthNames are the months in English, German, French and Spanish, in small letters (Unicode CLDR: Spanish as read, the others from memory); a month is known by its whole name or by a
// beginning of at least three letters that no other month has.
var monthNames = [][]string{
	{"january", "januar", "jänner", "janvier", "enero"},
	{"february", "februar", "février", "fevrier", "febrero"},
	{"march", "märz", "maerz", "mars", "marzo"},
	{"april", "avril", "abril"},
	{"may", "mai", "mayo"},
	{"june", "juni", "juin", "junio"},
	{"july", "juli", "juillet", "julio"},
	{"august", "août", "aout", "agosto"},
	{"september", "septembre", "septiembre"},
	{"october", "oktober", "octobre", "octubre"},
	{"november", "novembre", "noviembre"},
	{"december", "dezember", "décembre", "decembre", "diciembre"},
}

// monthOf reads the name of a month or its beginning, in small letters.
func monthOf(word string) (time.Month, bool) {
	word = strings.TrimSuffix(word, ".")
	found := time.Month(0)
	for i, names := range monthNames {
		for _, n := range names {
			if word == n {
				return time.Month(i + 1), true
			}
			if len([]rune(word)) < 3 || !strings.HasPrefix(n, word) {
				continue
			}
			if found != 0 && found != time.Month(i+1) {
				return 0, false
			}
			found = time.Month(i + 1)
		}
	}
	if word == "sept" {
		return time.September, true
	}
	return found, found != 0
}
