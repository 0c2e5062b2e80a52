package zonelist_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/tariff"
	"solander/tariff/cards"
	"solander/tariff/zonelist"
)

// chart is the published chart of one origin, as a bundled card holds it.
func chart(t testing.TB) []tariff.ZoneRow {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		for _, z := range c.Zones {
			if z.Name == cards.Domestic && z.Origin.Prefix == "240" && len(z.Rows) > 100 {
				return z.Rows
			}
		}
	}
	t.Fatal("no bundled chart: nothing was tested")
	return nil
}

// Source of the zones: the chart of the US operator for origin 240 that the bundled cards name. However it is pasted, what is read is
// what the card holds.
func TestPublishedChartPasted(t *testing.T) {
	rows := chart(t)
	rapid.Check(t, func(t *rapid.T) {
		between := rapid.SampledFrom([]string{"---", "-", " - ", "–", " to ", "\t", ","}).Draw(t, "between")
		gap := rapid.SampledFrom([]string{" ", "\t", "   ", " zone ", ", "}).Draw(t, "gap")
		columns := rapid.IntRange(1, 4).Draw(t, "columns")
		mark := rapid.SampledFrom([]string{"", "*", "+"}).Draw(t, "mark")
		var b strings.Builder
		b.WriteString("ZIP Code\tZone\n\n")
		for i, r := range rows {
			single := r.From == r.To && rapid.Bool().Draw(t, "single")
			if b.WriteString(r.From); !single {
				b.WriteString(between + r.To)
			}
			b.WriteString(gap + r.Zone)
			if i%7 == 0 {
				b.WriteString(mark)
			}
			if (i+1)%columns == 0 {
				b.WriteString("\n")
			} else {
				b.WriteString("    ")
			}
		}
		b.WriteString("\nan asterisk has a meaning of its own\n")
		l := zonelist.Read(b.String(), "US", nil, nil)
		want := slices.Clone(rows)
		slices.SortFunc(want, func(a, b tariff.ZoneRow) int {
			if len(a.From) != len(b.From) {
				return len(b.From) - len(a.From)
			}
			return strings.Compare(a.From, b.From)
		})
		if diff := cmp.Diff(want, l.Rows); diff != "" {
			t.Fatalf("(-chart +read):\n%.900s\n%+v", diff, l.Doubts)
		}
		if l.Barred() {
			t.Fatalf("%+v", l.Doubts)
		}
		if told := slices.ContainsFunc(l.Doubts, func(d zonelist.Doubt) bool { return strings.Contains(d.What, " beside ") }); told != (mark != "") {
			t.Fatalf("marks %q: %+v", mark, l.Doubts)
		}
	})
}

func TestSlipsInZones(t *testing.T) {
	priced := []string{"1", "2", "8"}
	for name, c := range map[string]struct {
		text  string
		says  string
		bars  bool
		known []string
	}{
		"they overlap":        {"005-089 1\n080-099 2\n", "005–089 (zone 1) and 080–099 (zone 2) overlap", true, nil},
		"they overlap alike":  {"005-089 1\n080-099 1\n", "005–089 (zone 1) and 080–099 (zone 1) overlap", false, nil},
		"one within a larger": {"005-089 1\n010-012 1\n080 2\n", "005–089 (zone 1) and 080–080 (zone 2) overlap", true, nil},
		"a gap":               {"005-089 1\n092-099 2\n", "no zone for 090–091", false, nil},
		"a gap among those":   {"005-089 1\n", "no zone for 100–300", false, []string{"005", "089", "100", "102", "300"}},
		"an unknown zone":     {"005-089 7\n", "zone 7, of 1 range, has no prices", false, nil},
		"turned":              {"089-005 1\n", "line 1: 089 to 005 is no range", true, nil},
		"other digits":        {"005-08999 1\n", "line 1: 005 to 08999 is no range", true, nil},
		"no zone":             {"005-089\n", "line 1 was not understood: 005-089", false, nil},
		"zone nought":         {"005-089 0\n", "lies in zone 0", true, nil},
		"nothing":             {"zones", "no zones were found", true, nil},
	} {
		l := zonelist.Read(c.text, "US", c.known, priced)
		found := slices.IndexFunc(l.Doubts, func(d zonelist.Doubt) bool { return strings.Contains(d.What, c.says) })
		if found < 0 || l.Doubts[found].Bars != c.bars {
			t.Errorf("%s: %+v, want %q", name, l.Doubts, c.says)
		}
	}
	l := zonelist.Read("005-089 1\n08900-08999 8\n", "US", nil, priced)
	if l.Barred() || l.Rows[0].From != "08900" {
		t.Errorf("exceptions do not come first: %+v", l)
	}
	if got := fmt.Sprint(l.Zones); got != "[{1 1} {8 1}]" {
		t.Errorf("counted %s", got)
	}
}

func FuzzRead(f *testing.F) {
	f.Add("005---089 5\n090 4* 091 3+")
	f.Fuzz(func(t *testing.T, text string) {
		l := zonelist.Read(text, "US", nil, nil)
		for _, r := range l.Rows {
			if len(r.From) != len(r.To) || r.From > r.To || r.Zone == "" {
				t.Errorf("%+v", r)
			}
		}
	})
}
