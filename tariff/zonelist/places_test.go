package zonelist_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/order"
	"solander/tariff"
	"solander/tariff/cards"
	"solander/tariff/zonelist"
)

// abroad are the countries of a bundled card with their groups.
func abroad(t testing.TB, id, table string) []tariff.ZoneRow {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		for _, z := range c.Zones {
			if c.ID == id && z.Name == table {
				return z.Rows
			}
		}
	}
	t.Fatal("no such table: nothing was tested")
	return nil
}

// Source of the groups: the country lists that the bundled cards name (USPS Notice 123 effective 2025-10-05; the Norwegian letters by
// UN M49). However a list is written, each country is in the zone of the card.
func TestPublishedCountriesAsWritten(t *testing.T) {
	for _, c := range []struct{ card, table, home string }{
		{"us-usps-abroad-retail-2025-10-05", "package", "US"}, {"no-posten-letters-2021-01-04", "letters", "NO"},
	} {
		rows := abroad(t, c.card, c.table)
		var zones []string
		want := map[string]string{}
		for _, r := range rows {
			if want[r.Country] = r.Zone; !slices.Contains(zones, r.Zone) {
				zones = append(zones, r.Zone)
			}
		}
		if len(zones) < 3 {
			t.Fatalf("%s has %d zones", c.card, len(zones))
		}
		rapid.Check(t, func(t *rapid.T) {
			name := func(country string) string {
				switch {
				case country == "":
					return rapid.SampledFrom([]string{"*", "everywhere else", "Rest of the world"}).Draw(t, "rest")
				case country == c.home && rapid.Bool().Draw(t, "home"):
					return "home"
				case rapid.Bool().Draw(t, "code"):
					return country
				}
				return order.CountryName(country)
			}
			var b strings.Builder
			together := rapid.SliceOfDistinct(rapid.SampledFrom(zones), rapid.ID).Draw(t, "zones in one line")
			for _, z := range together {
				b.WriteString(rapid.SampledFrom([]string{"", "Zone ", "zone "}).Draw(t, "word") + z + ": ")
				for _, r := range rows {
					if r.Zone == z {
						b.WriteString(name(r.Country) + ", ")
					}
				}
				b.WriteString("\n")
			}
			for _, r := range rows {
				if !slices.Contains(together, r.Zone) {
					b.WriteString(name(r.Country) + rapid.SampledFrom([]string{"\t", "  ", "; ", " zone "}).Draw(t, "gap") + r.Zone + "\n")
				}
			}
			l := zonelist.Places(b.String(), c.home, zones)
			if len(l.Doubts) > 0 || len(l.Rows) != len(want) {
				t.Fatalf("%d rows of %d: %+v", len(l.Rows), len(want), l.Doubts)
			}
			for _, r := range l.Rows {
				if want[r.Country] != r.Zone || r.From != "" {
					t.Fatalf("%+v, the card says %s", r, want[r.Country])
				}
			}
		})
	}
}

func TestPlacesInOrder(t *testing.T) {
	l := zonelist.Places("World: everywhere else\nNear: home, DK\nIslands: 13, 140-149\nFar: SE 98-99", "NO", []string{"Near", "Islands", "Far", "World"})
	want := []tariff.ZoneRow{
		{Country: "NO", From: "140", To: "149", Zone: "Islands"},
		{Country: "NO", From: "13", To: "13", Zone: "Islands"},
		{Country: "SE", From: "98", To: "99", Zone: "Far"},
		{Country: "DK", Zone: "Near"},
		{Country: "NO", Zone: "Near"},
		{Zone: "World"},
	}
	if !slices.Equal(l.Rows, want) || len(l.Doubts) > 0 {
		t.Errorf("%+v", l)
	}
}

func TestSlipsInPlaces(t *testing.T) {
	zones := []string{"1", "Europe"}
	for name, c := range map[string]struct {
		text, says string
		bars       bool
	}{
		"no such zone":    {"Europe: DE\nAsia: JP", "line 2 has none of the zones 1, Europe", true},
		"no such country": {"Europe: DE, Atlantis\n1: US", "line 1: Atlantis is no country", true},
		"twice":           {"Europe: DE\n1: Germany", "line 2: Germany lies in zone Europe as well as in 1", true},
		"the rest twice":  {"Europe: *\n1: everywhere else", "everywhere else lies in zone Europe as well as in 1", true},
		"turned":          {"Europe: 20-10\n1: US", "20-10 is no country, and no postcodes", true},
		"other digits":    {"Europe: 20-100\n1: US", "20-100 is no country", true},
		"they overlap":    {"Europe: 20-29\n1: 25-30", "overlap", true},
		"an empty zone":   {"Europe: DE", "no place lies in zone 1", false},
		"nothing":         {"\n\n", "no place lies in zone 1", true},
		"too much":        {strings.Repeat("x", zonelist.Most+1), "KB were given", true},
	} {
		l := zonelist.Places(c.text, "US", zones)
		at := slices.IndexFunc(l.Doubts, func(d zonelist.Doubt) bool { return strings.Contains(d.What, c.says) })
		if at < 0 || l.Doubts[at].Bars != c.bars || l.Doubts[at].Mend == "" {
			t.Errorf("%s: %+v, want %q", name, l.Doubts, c.says)
		}
	}
	if l := zonelist.Places("Europe: DE, DE, Germany\n1: US", "US", zones); len(l.Doubts) > 0 || len(l.Rows) != 2 {
		t.Errorf("said twice alike: %+v", l)
	}
}

func FuzzPlaces(f *testing.F) {
	f.Add("Europe: Denmark, DE 10-19\nUS 1\n*: x")
	f.Fuzz(func(t *testing.T, text string) {
		for _, r := range zonelist.Places(text, "US", []string{"1", "Europe"}).Rows {
			if len(r.From) != len(r.To) || r.From > r.To || r.Zone != "1" && r.Zone != "Europe" {
				t.Errorf("%+v", r)
			}
		}
	})
}
