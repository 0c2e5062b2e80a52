package pricelist

import (
	"regexp"
	"strconv"
	"strings"
)

var (
	zoneWord  = regexp.MustCompile(`(?i)^\s*(zones?|zonen|zona|zonas|sone|soner|price groups?|groups?)\b[\s:.]*`)
	zoneRange = regexp.MustCompile(`^(\d{1,3})\s*(?:-|–|—|to|bis|à|til)\s*(\d{1,3})$`)
	zoneSplit = regexp.MustCompile(`\s*(?:,|;|&|\+|/|\band\b|\bund\b|\bet\b|\bog\b)\s*`)
)

// ZonesOf reads the zones of a heading: "Zone 3", "1 & 2", "Zones 1-3", "Europe". None for an empty one.
func ZonesOf(text string) []string {
	text = strings.Join(strings.Fields(text), " ")
	text = zoneWord.ReplaceAllString(text, "")
	var out []string
	for _, part := range zoneSplit.Split(text, -1) {
		part = strings.TrimSpace(zoneWord.ReplaceAllString(part, ""))
		m := zoneRange.FindStringSubmatch(part)
		if m == nil {
			if part != "" && len(part) <= 40 {
				out = append(out, wholeZone(part))
			}
			continue
		}
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		for ; a <= b && len(out) < 100; a++ {
			out = append(out, strconv.Itoa(a))
		}
	}
	return out
}

// wholeZone is a zone's name; a number of a workbook without its point.
func wholeZone(name string) string {
	if whole, zeros, ok := strings.Cut(name, "."); ok && whole != "" && strings.Trim(whole, "0123456789") == "" && strings.Trim(zeros, "0") == "" {
		return whole
	}
	return name
}
