package intake

import (
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
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

// MonthOf reads the name of a month or its beginning, in small letters.
func MonthOf(word string) (time.Month, bool) {
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

// SheetMonth is the month of a sheet, or its year alone; what is not said is zero.
type SheetMonth struct {
	Year  int
	Month time.Month
}

var monthParts = regexp.MustCompile(`[\pL]+|[0-9]+`)

// MonthIn reads a month, in words or figures, with its year or without, or a year alone: "May 2025", "2025-05", "05/2025", "Mai", "5",
// "Sales 2025". ok is false for other words.
func MonthIn(text string) (m SheetMonth, ok bool) {
	bare := !strings.ContainsFunc(text, unicode.IsLetter) // "Sheet1" is no January
	for _, p := range monthParts.FindAllString(strings.ToLower(text), -1) {
		n, err := strconv.Atoi(p)
		named, is := MonthOf(p)
		switch {
		case err == nil && n >= 1980 && n < 2080 && m.Year == 0:
			m.Year = n
		case err == nil && bare && n >= 1 && n <= 12 && m.Month == 0 && len(p) <= 2:
			m.Month = time.Month(n)
		case err != nil && is && m.Month == 0:
			m.Month = named
		case err != nil && plainSheet[Fold(p)]:
		default:
			return SheetMonth{}, false
		}
	}
	return m, m != SheetMonth{}
}

// plainSheet are names of sheets that say nothing of their rows. Common practice, no source.
var plainSheet = map[string]bool{
	"": true, "sheet": true, "table": true, "sales": true, "sale": true, "orders": true, "order": true, "sold": true, "prints": true, "list": true, "data": true, "all": true,
	"tabelle": true, "blatt": true, "verkäufe": true, "verkauf": true, "bestellungen": true, "liste": true, "drucke": true,
	"feuille": true, "feuil": true, "ventes": true, "commandes": true, "hoja": true, "ventas": true, "pedidos": true,
}

// PlainName reports a name such as "Sheet1" or "Sales 2025".
func PlainName(name string) bool {
	for _, p := range monthParts.FindAllString(strings.ToLower(name), -1) {
		if _, err := strconv.Atoi(p); err != nil && !plainSheet[p] {
			return false
		}
	}
	return true
}
