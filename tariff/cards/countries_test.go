package cards

import (
	"testing"

	"golang.org/x/text/language"
)

// Every country of a table abroad stands there once, by the code that an address carries: a withdrawn
// code (DY, HV, FX, PZ) would keep all post from the country that bore it.
// Source of the counts: the country list of USPS Notice 123, effective 2025-10-05, p56-61: 218 countries
// with a group of First-Class Package International, 214 of Priority Mail International, 218 of large
// envelopes. Source of the codes: ISO 3166-1 and 3166-3, through golang.org/x/text.
func TestCountriesAbroadAreWhole(t *testing.T) {
	want := map[string]int{"package": 218, "priority": 214, "abroad": 218}
	tables := 0
	for id, c := range load(t) {
		for i := range c.Zones {
			z := &c.Zones[i]
			count, abroad := want[z.Name]
			if !abroad {
				continue
			}
			tables++
			seen := make(map[string]bool)
			for _, row := range z.Rows {
				r, err := language.ParseRegion(row.Country)
				if err != nil || !r.IsCountry() || r.Canonicalize() != r || row.Country == "FX" {
					t.Errorf("%s, %s: %q is no country of an address", id, z.Name, row.Country)
				}
				if seen[row.Country] {
					t.Errorf("%s, %s: %s stands there twice", id, z.Name, row.Country)
				}
				seen[row.Country] = true
			}
			if len(seen) != count {
				t.Errorf("%s, %s: %d countries, want %d", id, z.Name, len(seen), count)
			}
		}
	}
	if tables != 5 {
		t.Errorf("%d tables abroad were looked at, want 5", tables)
	}
}

// Source: USPS Notice 123, effective 2025-10-05, p56-61: group of First-Class Package International, of
// Priority Mail International, of large envelopes.
func TestPublishedGroups(t *testing.T) {
	cards := load(t)
	for _, c := range []struct{ country, pack, priority, flat string }{
		{"BJ", "5", "9", "7"},
		{"BF", "5", "9", "7"},
		{"PA", "6", "11", "9"},
		{"FR", "15", "15", "5"},
		{"CA", "1", "1", "1"},
		{"MX", "2", "2", "2"},
		{"DE", "16", "16", "5"},
		{"JP", "17", "17", "3"},
		{"GB", "20", "20", "5"},
		{"NZ", "12", "12", "6"},
		{"BO", "6", "", "9"},
	} {
		for _, w := range []struct{ card, table, zone string }{
			{"us-usps-abroad-commercial-2025-10-05", "package", c.pack},
			{"us-usps-abroad-retail-2025-10-05", "package", c.pack},
			{"us-usps-abroad-commercial-2025-10-05", "priority", c.priority},
			{"us-usps-abroad-retail-2025-10-05", "priority", c.priority},
			{"us-usps-single-piece-2025-10-05", "abroad", c.flat},
		} {
			got := ""
			for _, z := range cards[w.card].Zones {
				for _, row := range z.Rows {
					if z.Name == w.table && row.Country == c.country {
						got = row.Zone
					}
				}
			}
			if got != w.zone {
				t.Errorf("%s, %s: group %q for %s, want %q", w.card, w.table, got, c.country, w.zone)
			}
		}
	}
}
