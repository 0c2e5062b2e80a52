package zonelist

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"solander/fault"
	"solander/order"
	"solander/tariff"
)

var (
	zoneWord    = regexp.MustCompile(`(?i)^(zones?|zonen|price groups?|groups?)\b[\s.]*`)
	codes       = regexp.MustCompile(`^(?:([A-Z]{2})[ -])?([0-9A-Z]*[0-9][0-9A-Z]*)(?:\s*(?:-+|–|—)\s*([0-9A-Z]*[0-9][0-9A-Z]*))?$`)
	placeSplit  = regexp.MustCompile(`\s*[,;]\s*`)
	elsewhere   = []string{"*", "everywhere else", "elsewhere", "all others", "all other countries", "other countries", "others", "rest of the world", "the rest"}
	withinHouse = []string{"home", "at home", "inland", "domestic", "within the country"}
)

// Places reads where the zones of a list of prices lie, as people write it: a line a zone, its places after a colon ("Europe: Denmark,
// DE, Sweden"), or a line a place, its zone at the end ("Denmark 1"). A place is a country by name or code, "home", a range of postcodes
// of home ("10-19"), or "everywhere else". Both ways of writing may stand in one list. home is the country where parcels start; zones
// are those that have prices.
func Places(text, home string, zones []string) List {
	var l List
	if len(text) > Most {
		l.add(true, fmt.Sprintf("more than %d KB were given", Most>>10), "give the zones alone")
		return l
	}
	for n, line := range strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		zone, places := split(line, zones)
		if zone == "" {
			l.add(true, fmt.Sprintf("line %d has none of the zones %s: %s", n+1, strings.Join(zones, ", "), fault.Clip(line)), "write a zone with its places, such as Europe: Denmark, Sweden")
			continue
		}
		for _, place := range places {
			row, ok := placeOf(place, home)
			if !ok {
				l.add(true, fmt.Sprintf("line %d: %s is no country, and no postcodes", n+1, fault.Clip(place)), "write a country by its name or two letters, postcodes such as 10-19, home, or everywhere else")
				continue
			}
			row.Zone = zone
			l.put(n+1, row)
		}
	}
	slices.SortStableFunc(l.Rows, func(a, b tariff.ZoneRow) int { // the nearer said comes first: postcodes, countries, the rest
		return cmp.Or(cmp.Compare(len(b.From), len(a.From)), cmp.Compare(len(b.Country), len(a.Country)), cmp.Compare(a.Country, b.Country), cmp.Compare(a.From, b.From))
	})
	l.overlaps()
	l.count(nil)
	for _, z := range zones {
		if !slices.ContainsFunc(l.Rows, func(r tariff.ZoneRow) bool { return r.Zone == z }) {
			l.add(len(l.Rows) == 0, fmt.Sprintf("no place lies in zone %s", z), "say which do, or leave its column out")
		}
	}
	return l
}

// split parts a line into the zone, as the prices name it, and its places; no zone when none of them stands there.
func split(line string, zones []string) (zone string, places []string) {
	if before, after, ok := strings.Cut(line, ":"); ok {
		if zone = named(before, zones); zone != "" {
			return zone, slices.DeleteFunc(placeSplit.Split(strings.TrimSpace(after), -1), func(s string) bool { return s == "" })
		}
	}
	words := strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" \t,;:|", r) })
	for n := 1; n < len(words); n++ { // the longest name at the end: "Denmark Zone 1", "Japan Rest of Asia"
		if zone = named(strings.Join(words[n:], " "), zones); zone != "" {
			place := strings.TrimSpace(line[:strings.LastIndex(line, words[n])])
			if n < len(words)-1 {
				place = strings.Join(words[:n], " ")
			}
			return zone, []string{strings.TrimSpace(strings.TrimRight(place, " \t,;:|"))}
		}
	}
	return "", nil
}

// named finds a zone by its name, however its letters are written.
func named(text string, zones []string) string {
	text = strings.Join(strings.Fields(text), " ")
	for _, name := range []string{text, zoneWord.ReplaceAllString(text, "")} {
		if at := slices.IndexFunc(zones, func(z string) bool { return strings.EqualFold(z, name) }); at >= 0 {
			return zones[at]
		}
	}
	return ""
}

// placeOf reads one place.
func placeOf(text, home string) (tariff.ZoneRow, bool) {
	low := strings.ToLower(strings.Join(strings.Fields(text), " "))
	switch {
	case slices.Contains(elsewhere, low):
		return tariff.ZoneRow{}, true
	case slices.Contains(withinHouse, low):
		return tariff.ZoneRow{Country: home}, true
	}
	if code, ok := order.CountryNamed(text); ok {
		return tariff.ZoneRow{Country: code}, true
	}
	m := codes.FindStringSubmatch(strings.ToUpper(text))
	if m == nil {
		return tariff.ZoneRow{}, false
	}
	row := tariff.ZoneRow{Country: cmp.Or(m[1], home), From: m[2], To: cmp.Or(m[3], m[2])}
	return row, order.KnownCountry(row.Country) && len(row.From) == len(row.To) && row.From <= row.To
}

// put keeps a row; a place that is said twice, of two zones, bars.
func (l *List) put(line int, r tariff.ZoneRow) {
	for _, was := range l.Rows {
		if was.Country != r.Country || was.From != r.From || was.To != r.To {
			continue
		}
		if was.Zone != r.Zone {
			l.add(true, fmt.Sprintf("line %d: %s lies in zone %s as well as in %s", line, nameOf(r), was.Zone, r.Zone), "correct one of the two")
		}
		return
	}
	l.Rows = append(l.Rows, r)
}

func nameOf(r tariff.ZoneRow) string {
	switch {
	case r.From != "":
		return strings.TrimSpace(r.Country + " " + span(r.From, r.To))
	case r.Country == "":
		return "everywhere else"
	}
	return order.CountryName(r.Country)
}
