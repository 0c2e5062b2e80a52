// Package zonelist reads an operator's zones as people paste them: ranges of the first digits of postcodes, each with its zone
// ("005---089 5", "005-089<TAB>5", "005 4"), several on a line as well, with marks beside a zone. It says what is left open: ranges that
// overlap, gaps between them, zones without prices, and what it did not understand. It knows no distance and estimates nothing.
package zonelist

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"solander/fault"
	"solander/tariff"
)

// Most bounds a pasted list, in bytes.
const Most = 1 << 20

// List is what was read.
type List struct {
	Rows   []tariff.ZoneRow `json:"rows"`  // longest prefixes first: exceptions come before what they are of; then ascending
	Zones  []Count          `json:"zones"` // how many postcode areas lie in each zone
	Doubts []Doubt          `json:"doubts"`
}

// Count is a zone and how many ranges are in it.
type Count struct {
	Zone   string `json:"zone"`
	Ranges int    `json:"ranges"`
}

// Doubt is something to look at. One that bars lets no table be made.
type Doubt struct {
	What string `json:"what"`
	Mend string `json:"mend"`
	Bars bool   `json:"bars"`
}

// entry is a range with its zone, as lists write them. A prefix has three or more digits, a zone one or two.
var entry = regexp.MustCompile(`(?i)(?:^|[\s,;|])(\d{3,6})(?:\s*(?:-+|–|—|…|\.\.+|to|bis|,|;|\s)\s*(\d{3,6}))?[\s,;|:=]+(?:zone\s*)?(\d{1,2}|[a-z])([*+†]*)(?:$|[\s,;|])`)

// Read reads what was pasted. country is that of the postcodes; prefixes are those that are in use, to name the gaps (none: gaps
// between the ranges are named); priced are the zones that have prices.
func Read(text, country string, prefixes, priced []string) List {
	var l List
	if len(text) > Most {
		l.add(true, fmt.Sprintf("more than %d KB were pasted", Most>>10), "paste the zones alone")
		return l
	}
	marks := map[string]int{}
	seen := map[[2]string]string{}
	for n, line := range strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n") {
		rest := strings.TrimSpace(line)
		for rest != "" {
			m := entry.FindStringSubmatchIndex(rest)
			if m == nil {
				break
			}
			from, to := rest[m[2]:m[3]], rest[m[2]:m[3]]
			if m[4] >= 0 {
				to = rest[m[4]:m[5]]
			}
			l.skipped(n+1, rest[:m[0]])
			zone := strings.TrimLeft(rest[m[6]:m[7]], "0")
			if mark := rest[m[8]:m[9]]; mark != "" {
				marks[mark]++
			}
			l.take(n+1, tariff.ZoneRow{Country: country, From: from, To: to, Zone: strings.ToUpper(zone)}, seen)
			rest = strings.TrimSpace(rest[max(m[9], 1):])
		}
		l.skipped(n+1, rest)
	}
	if len(l.Rows) == 0 {
		l.add(true, "no zones were found in it", "paste lines such as 005---089 5")
		return l
	}
	for _, m := range slices.Sorted(keys(marks)) {
		l.add(false, fmt.Sprintf("%s beside %s", m, fault.Count(marks[m], "zone")), "read what the operator's note says; the zone is taken as it stands")
	}
	slices.SortFunc(l.Rows, func(a, b tariff.ZoneRow) int {
		return cmp.Or(cmp.Compare(len(b.From), len(a.From)), cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	l.overlaps()
	l.gaps(prefixes)
	l.count(priced)
	return l
}

func keys[V any](m map[string]V) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func (l *List) add(bars bool, what, mend string) {
	l.Doubts = append(l.Doubts, Doubt{what, mend, bars})
}

// Barred reports whether a doubt bars.
func (l *List) Barred() bool {
	return slices.ContainsFunc(l.Doubts, func(d Doubt) bool { return d.Bars })
}

// skipped tells text with digits that was not understood; headings and notes without any are passed over.
func (l *List) skipped(line int, text string) {
	if text = strings.Trim(text, " \t,;|"); strings.ContainsAny(text, "0123456789") {
		l.add(false, fmt.Sprintf("line %d was not understood: %s", line, fault.Clip(text)), "look whether a range stands there")
	}
}

func (l *List) take(line int, r tariff.ZoneRow, seen map[[2]string]string) {
	switch was, twice := seen[[2]string{r.From, r.To}]; {
	case len(r.From) != len(r.To) || r.From > r.To:
		l.add(true, fmt.Sprintf("line %d: %s to %s is no range", line, r.From, r.To), "both ends have as many digits, the smaller first")
		return
	case r.Zone == "":
		l.add(true, fmt.Sprintf("line %d: %s to %s lies in zone 0", line, r.From, r.To), "correct the zone")
		return
	case twice && was == r.Zone:
		return
	}
	seen[[2]string{r.From, r.To}] = r.Zone
	l.Rows = append(l.Rows, r)
}

// overlaps tells ranges of the same length that share a prefix.
func (l *List) overlaps() {
	for i := 1; i < len(l.Rows); i++ {
		a, b := l.Rows[i-1], l.Rows[i]
		if a.From == "" || a.Country != b.Country || len(a.From) != len(b.From) || b.From > a.To {
			continue
		}
		what := fmt.Sprintf("%s–%s (zone %s) and %s–%s (zone %s) overlap", a.From, a.To, a.Zone, b.From, b.To, b.Zone)
		l.add(a.Zone != b.Zone, what, "correct one of the two")
		if a.To > b.To { // so that the next is held against the one that reaches further
			l.Rows[i-1], l.Rows[i] = b, a
		}
	}
}

// mostGaps bounds what is told of gaps.
const mostGaps = 12

// gaps tells which prefixes have no zone.
func (l *List) gaps(prefixes []string) {
	var open []string
	if len(prefixes) == 0 {
		for i := 1; i < len(l.Rows); i++ {
			a, b := l.Rows[i-1], l.Rows[i]
			if first, last := after(a.To), before(b.From); len(a.From) == len(b.From) && len(a.From) == 3 && first <= last && first != "" {
				open = append(open, span(first, last))
			}
		}
	}
	covered := func(p string) bool {
		return slices.ContainsFunc(l.Rows, func(r tariff.ZoneRow) bool { return len(r.From) == len(p) && r.From <= p && p <= r.To })
	}
	for i := 0; i < len(prefixes); i++ {
		if covered(prefixes[i]) {
			continue
		}
		j := i
		for j+1 < len(prefixes) && !covered(prefixes[j+1]) {
			j++
		}
		open = append(open, span(prefixes[i], prefixes[j]))
		i = j
	}
	if len(open) == 0 {
		return
	}
	more := ""
	if len(open) > mostGaps {
		more = fmt.Sprintf(" and %d more", len(open)-mostGaps)
		open = open[:mostGaps]
	}
	l.add(false, "no zone for "+strings.Join(open, ", ")+more, "parcels there cannot be priced until it stands in the list")
}

func span(a, b string) string {
	if a == b {
		return a
	}
	return a + "–" + b
}

// after and before are the neighbours of a number of digits, "" beyond the last.
func after(p string) string {
	b := []byte(p)
	for i := len(b) - 1; i >= 0; i-- {
		if b[i] < '9' {
			b[i]++
			return string(b)
		}
		b[i] = '0'
	}
	return ""
}

func before(p string) string {
	b := []byte(p)
	for i := len(b) - 1; i >= 0; i-- {
		if b[i] > '0' {
			b[i]--
			return string(b)
		}
		b[i] = '9'
	}
	return ""
}

// count counts the ranges of each zone and names zones without prices.
func (l *List) count(priced []string) {
	n := map[string]int{}
	for _, r := range l.Rows {
		n[r.Zone]++
	}
	for _, z := range slices.SortedFunc(keys(n), func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }) {
		l.Zones = append(l.Zones, Count{z, n[z]})
		if len(priced) > 0 && !slices.Contains(priced, z) {
			l.add(false, fmt.Sprintf("zone %s, of %s, has no prices", z, fault.Count(n[z], "range")), "look whether it is a slip; the cards have prices for zones "+strings.Join(priced, ", "))
		}
	}
}
