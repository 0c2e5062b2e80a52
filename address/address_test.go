package address

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Source: the metadata's own examples of postcodes, by country (countries.csv, column "examples").
func TestPublishedExamplesFit(t *testing.T) {
	n := 0
	for _, r := range rows("countries.csv", 7) {
		for _, code := range strings.Split(r[5], ",") {
			if code == "" {
				continue
			}
			n++
			if f := Of(r[0]); !f.Fits(code) || f.Fits(code+"x") {
				t.Errorf("%s: the example %q does not fit its form, or more than it does", r[0], code)
			}
		}
	}
	if n < 400 {
		t.Errorf("only %d examples were looked at", n)
	}
	if n := len(forms()); n < 250 {
		t.Errorf("%d countries are known", n)
	}
}

// Source: ZIP Locale Detail of the United States Postal Service, April 2024: the runs of ZIPs of one state.
// The states of the metadata hold every one, but for the four ZIPs of exceptions.csv.
func TestStatesHoldTheirZIPs(t *testing.T) {
	f, err := os.Open("testdata/zips.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 60 {
		t.Fatalf("%d runs were read: %v", len(all), err)
	}
	states := make(map[string]bool)
	for _, r := range all[1:] {
		states[r[2]] = true
		for _, zip := range r[:2] {
			if !Agree("US", r[2], zip) {
				t.Errorf("%s is in %s, but only in %v by the tables", zip, r[2], keys(PartsOf("US", zip)))
			}
		}
	}
	if len(states) < 51 {
		t.Errorf("%d states were looked at", len(states))
	}
	if n := len(exceptions()); n != 4 {
		t.Errorf("%d exceptions", n)
	}
}

func keys(parts []Part) []string {
	var out []string
	for _, p := range parts {
		out = append(out, p.Key)
	}
	return out
}

// Sources: the metadata; that 06390 (Fishers Island) and 00501 (Holtsville) are in New York, 83414 (Alta) in
// Wyoming, 340 AA, 09 AE, 962-966 AP: USPS Publication 65, from memory.
func TestStatesOfZIPs(t *testing.T) {
	for zip, want := range map[string][]string{
		"06390": {"CT", "NY"}, "06391": {"CT"}, "00501": {"NY"}, "00544-1234": {"NY"}, "34002": {"AA"}, "09012": {"AE"}, "96350": {"AP"},
		"83414": {"ID", "WY"}, "00926": {"PR"}, "00802": {"VI"}, "96910": {"GU"}, "96799": {"AS"}, "96950": {"MP"}, "96940": {"PW"}, "96960": {"MH"},
		"24019": {"VA"}, "20500": {"DC"}, "20588": {"DC", "MD"}, "00000": nil, "": nil,
	} {
		got := keys(PartsOf("US", zip))
		slices.Sort(got)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s", zip, diff)
		}
	}
	for _, tc := range []struct {
		country, region, code string
		agree                 bool
	}{
		{"US", "va", "24019", true},
		{"US", "Virginia", "24019", true},
		{"US", "WV", "24019", false},
		{"US", "Nowhere", "24019", true}, // nothing is known of it
		{"CA", "ON", "K1A 0B1", true},
		{"CA", "BC", "K1A 0B1", false},
		{"AU", "NSW", "2000", true},
		{"AU", "VIC", "2000", false},
		{"JP", "Tokyo", "100-0001", true},
		{"JP", "東京都", "100-0001", true},
		{"JP", "Osaka", "100-0001", false},
		{"DE", "BY", "10115", true},
	} {
		if Agree(tc.country, tc.region, tc.code) != tc.agree {
			t.Errorf("%+v", tc)
		}
	}
}

// Sources, from memory: USPS Publication 28 (examples of 211 and 225, and of chapter 2 for Puerto Rico and
// the military), Canada Post addressing guidelines, and the Universal Postal Union's postal addressing systems
// for the others; names invented. The order of lines is the metadata's.
func TestLines(t *testing.T) {
	for _, tc := range []struct {
		country string
		v       Values
		want    []string
	}{
		{"US", Values{"Jane L Miller", []string{"1960 W Chelsea Ave Ste 2006"}, "Allentown", "PA", "18104"}, []string{"Jane L Miller", "1960 W Chelsea Ave Ste 2006", "Allentown PA  18104"}},
		{"US", Values{"Sgt Robert Smith", []string{"PSC 802 Box 74"}, "APO", "AE", "09499-0074"}, []string{"Sgt Robert Smith", "PSC 802 Box 74", "APO AE  09499-0074"}},
		{"PR", Values{"Ms Maria Suarez", []string{"Urb Las Gladiolas", "150 Calle A"}, "San Juan", "", "00926-3232"}, []string{"Ms Maria Suarez", "Urb Las Gladiolas", "150 Calle A", "San Juan PR  00926-3232"}},
		{"CA", Values{"A", []string{"10-123 1/2 Main St NW"}, "Montreal", "QC", "H3Z 2Y7"}, []string{"A", "10-123 1/2 Main St NW", "Montreal QC  H3Z 2Y7"}},
		{"GB", Values{"A", []string{"2 Gate St"}, "London", "", "WC2A 3HP"}, []string{"A", "2 Gate St", "London", "WC2A 3HP"}},
		{"GB", Values{"A", []string{"1 Sluice"}, "Thornwick", "Norfolk", "NR23 1QX"}, []string{"A", "1 Sluice", "Thornwick", "Norfolk", "NR23 1QX"}},
		{"GG", Values{"A", []string{"3 Quay"}, "St Peter Port", "Guernsey", "GY1 1AA"}, []string{"A", "3 Quay", "St Peter Port", "GUERNSEY", "GY1 1AA"}},
		{"DE", Values{"A", []string{"Mühlgräbchen 3"}, "Lindenwehr", "", "01277"}, []string{"A", "Mühlgräbchen 3", "01277 Lindenwehr"}},
		{"CH", Values{"A", []string{"Gasse 3"}, "Zürich", "", "8001"}, []string{"A", "Gasse 3", "CH-8001 Zürich"}},
		{"CH", Values{"A", []string{"Gasse 3"}, "Zürich", "", "CH-8001"}, []string{"A", "Gasse 3", "CH-8001 Zürich"}},
		{"IT", Values{"A", []string{"via Lunga 3"}, "Roma", "RM", "00198"}, []string{"A", "via Lunga 3", "00198 Roma RM"}},
		{"IT", Values{"A", []string{"via Lunga 3"}, "Roma", "", "00198"}, []string{"A", "via Lunga 3", "00198 Roma"}},
		{"HU", Values{"A", []string{"Honvéd utca 13"}, "Budapest", "", "1054"}, []string{"A", "Budapest", "Honvéd utca 13", "1054"}},
		{"BR", Values{"A", []string{"Rua 5"}, "São Paulo", "SP", "05303-000"}, []string{"A", "Rua 5", "São Paulo-SP", "05303-000"}},
		{"AU", Values{"A", []string{"5 Kent St"}, "Sydney", "NSW", "2000"}, []string{"A", "5 Kent St", "Sydney NSW 2000"}},
		{"JP", Values{"A", []string{"3-1 Minatomachi"}, "Kitanoura", "Yamagata", "998-0852"}, []string{"A", "3-1 Minatomachi, Kitanoura, Yamagata", "998-0852"}},
		{"JP", Values{"山田", []string{"港町3-1"}, "", "東京都", "100-0001"}, []string{"〒100-0001", "東京都", "港町3-1", "山田"}},
		{"SG", Values{"A", []string{"1 Marina Way"}, "Singapore", "", "018989"}, []string{"A", "1 Marina Way", "SINGAPORE 018989"}},
		{"HK", Values{"A", []string{"9 Harbour Steps"}, "", "Kowloon", ""}, []string{"A", "9 Harbour Steps", "Kowloon"}},
		{"IE", Values{"A", []string{"9 Quay"}, "Dunmore", "Co. Waterford", ""}, []string{"A", "9 Quay", "Dunmore", "Co. Waterford"}},
		{"MC", Values{"A", []string{"1 rue"}, "Monaco", "", "98000"}, []string{"A", "1 rue", "MC-98000 Monaco"}},
		{"ZZ", Values{"A", []string{"1"}, "Town", "Part", "77"}, []string{"A", "1", "Town", "Part", "77"}},
	} {
		if diff := cmp.Diff(tc.want, Of(tc.country).Lines(tc.v)); diff != "" {
			t.Errorf("%s: %s", tc.country, diff)
		}
	}
}

// Whatever country and fields: all of an address stands on its label, and no line is empty.
func TestNothingIsLost(t *testing.T) {
	countries := []string{"ZZ"}
	for c := range forms() {
		countries = append(countries, c)
	}
	slices.Sort(countries)
	text := rapid.StringMatching(`[A-Za-zÄß字0-9-]{0,8}`)
	squeeze := func(s string) string { return strings.ToUpper(strings.Join(strings.Fields(s), "")) }
	rapid.Check(t, func(t *rapid.T) {
		v := Values{Name: text.Draw(t, "name"), City: text.Draw(t, "city"), Region: text.Draw(t, "region"), Postcode: text.Draw(t, "postcode")}
		if l := text.Draw(t, "line"); l != "" {
			v.Street = []string{l, "rear"}
		}
		country := rapid.SampledFrom(countries).Draw(t, "country")
		lines := Of(country).Lines(v)
		on := squeeze(strings.Join(lines, ""))
		for _, f := range append(v.Street, v.Name, v.City, v.Region, v.Postcode) {
			if !strings.Contains(on, squeeze(f)) {
				t.Fatalf("%s: %q does not stand in %q", country, f, lines)
			}
		}
		if slices.Contains(lines, "") {
			t.Fatalf("%s: an empty line in %q", country, lines)
		}
	})
}

// What is only a hyphen is no word that a form carries between two fields, as Pakistan's does.
func TestAHyphenIsKept(t *testing.T) {
	if lines := Of("PK").Lines(Values{Region: "-"}); !slices.Equal(lines, []string{"-"}) {
		t.Errorf("%q", lines)
	}
}

// Source: the metadata's field "require", read by eye.
func TestRequired(t *testing.T) {
	for country, want := range map[string]string{"US": "ACSZ", "GB": "ACZ", "DE": "ACZ", "JP": "ASZ", "IE": "AC", "AE": "AS", "SG": "AZ", "ZZ": "AC"} {
		for _, f := range []Field{Street, City, Region, Postcode} {
			if got := Of(country).Requires(f); got != strings.Contains(want, string(f)) {
				t.Errorf("%s requires %c: %v", country, f, got)
			}
		}
	}
	for country, home := range map[string]string{"PR": "US", "GU": "US", "VI": "US", "AS": "US", "MP": "US", "FM": "US", "UM": "UM", "US": "US", "GB": "GB", "JE": "JE"} {
		if Home(country) != home {
			t.Errorf("%s is posted as %s", country, Home(country))
		}
	}
}
