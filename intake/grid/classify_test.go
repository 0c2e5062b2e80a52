package grid

import (
	"strings"
	"testing"

	"solander/intake"
)

// Rows of totals are set aside whatever their money and their sign for decimals; a sale whose buyer is called like a total stays one.
func TestRowsOfTotals(t *testing.T) {
	p := &Grid{Used: []intake.Field{intake.SoldOn, intake.Buyer, intake.Title, intake.Price}}
	for text, want := range map[string]string{
		"Summe|||180,00 €":                      "total",
		"Summe|||180,00":                        "total",
		"Total|||$1,180.00":                     "total",
		"Gesamt|||1.180,00 EUR":                 "total",
		"Total|||":                              "section",
		"2025-02-03|Total|Heron at dusk|95.00":  "",
		"Total|Mara Vell|Heron at dusk|95.00":   "",
		"Summe|Petra Quill|Nebel|180,00 €":      "",
		"03.02.2025|Petra Quill|Nebel|180,00 €": "",
	} {
		row := &intake.Row{N: 2}
		for part := range strings.SplitSeq(text, "|") {
			c := intake.Cell{Kind: intake.Words, Text: part}
			if part == "" {
				c = intake.Cell{}
			}
			row.Cells = append(row.Cells, c)
		}
		if rule, why := p.Aside(row); rule != want || (rule == "") != (why == "") {
			t.Errorf("%s: set aside as %q (%s), want %q", text, rule, why, want)
		}
	}
}
