package tariff

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Whoever asks of a way finds on the card cut down to it what stands on the whole card.
func TestOneWayKeepsWhatConcernsTheWay(t *testing.T) {
	cut := 0
	rapid.Check(t, func(t *rapid.T) {
		country := rapid.SampledFrom([]string{"US", "DE", ""})
		code := rapid.SampledFrom([]string{"", "1", "10", "2", "240-11", "24 0"})
		c := Card{ID: "any"}
		for range rapid.IntRange(0, 6).Draw(t, "tables") {
			z := ZoneTable{
				Name:   rapid.SampledFrom([]string{"near", "far"}).Draw(t, "name"),
				Origin: Origin{Country: country.Draw(t, "from country"), Prefix: code.Draw(t, "from prefix")},
			}
			for n := range rapid.IntRange(0, 5).Draw(t, "rows") {
				row := ZoneRow{Country: country.Draw(t, "country"), Zone: string(rune('a' + n))}
				if row.From = rapid.SampledFrom([]string{"", "1", "2", "24"}).Draw(t, "first"); row.From != "" {
					row.To = row.From
				}
				z.Rows = append(z.Rows, row)
			}
			c.Zones = append(c.Zones, z)
		}
		var whole []ZoneTable
		for _, z := range c.Zones {
			z.Rows = slices.Clone(z.Rows)
			whole = append(whole, z)
		}
		from := Place{Country: country.Draw(t, "from"), Postcode: code.Draw(t, "from code")}
		to := Place{Country: country.Draw(t, "to"), Postcode: code.Draw(t, "to code")}
		way := c.OneWay(from, to)
		for _, name := range []string{"near", "far", "none"} {
			was, is := c.Table(name, from), way.Table(name, from)
			if (was == nil) != (is == nil) {
				t.Fatalf("%s: table %v became %v", name, was, is)
			}
			if was == nil {
				continue
			}
			if diff := cmp.Diff(was.Find(to), is.Find(to)); diff != "" {
				t.Fatalf("%s: row:\n%s", name, diff)
			}
			if was.Find(to) == nil && len(was.Rows) != len(is.Rows) {
				t.Fatalf("%s has no row of the way, and lost some", name)
			}
			if len(is.Rows) < len(was.Rows) {
				cut++
			}
		}
		if diff := cmp.Diff(whole, c.Zones); diff != "" {
			t.Fatalf("the card itself changed:\n%s", diff)
		}
	})
	if cut == 0 && !testing.Short() { // a fifth of the draws may have none
		t.Error("nothing was ever left out")
	}
}

// What a line is paid for follows from its rule alone; an engine's price holds only lines of the card.
func TestLinesOfTheCard(t *testing.T) {
	for rule, want := range map[string]bool{Packaging: false, Work: false, "postage": true, "surcharge": true, "cover": true, "signature": true} {
		if (Line{Rule: rule}).OfCard() != want {
			t.Errorf("a line %q is the card's: %v", rule, !want)
		}
	}
}
