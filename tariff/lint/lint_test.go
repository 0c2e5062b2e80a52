package lint

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/tariff"
	"solander/tariff/cards"
)

// card is a copy of a bundled card that may be changed.
func card(t *testing.T, id string) *tariff.Card {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(all, func(c tariff.Card) bool { return c.ID == id })
	if at < 0 {
		t.Fatalf("%s is not bundled", id)
	}
	raw, err := json.Marshal(all[at])
	if err != nil {
		t.Fatal(err)
	}
	c, err := tariff.Read(raw)
	if err != nil {
		t.Fatal(err)
	}
	return &c
}

const (
	norwegian = "no-posten-letters-2021-01-04"
	plain     = "us-usps-retail-2025-07-13"
	peak      = "us-usps-retail-2025-10-05"
)

// Nothing looks like a slip in the bundled cards, one beside the others.
func TestBundledCardsLookSound(t *testing.T) {
	all, err := cards.All()
	if err != nil || len(all) < 11 {
		t.Fatalf("%d cards, %v", len(all), err)
	}
	for i := range all {
		for _, f := range Doubts(&all[i], all) {
			t.Errorf("%s: %+v", all[i].ID, f)
		}
		if err := Refuses(&all[i], all, ""); err != nil {
			t.Errorf("%s: %v", all[i].ID, err)
		}
	}
}

func TestDoubts(t *testing.T) {
	cell := func(service string, row, col int, price tariff.Cell) func(*tariff.Card) {
		return func(c *tariff.Card) { c.Service(service).Prices.Rows[row].Prices[col] = price }
	}
	for name, x := range map[string]struct {
		card        string
		spoil       func(*tariff.Card)
		kind, where string
	}{
		"a hole":                {peak, cell("ground-retail", 5, 2, tariff.NotCarried), "hole", "ground-retail, zone 3, up to 2 lb"},
		"a fall with weight":    {peak, cell("ground-retail", 5, 0, 100), "weight dip", "ground-retail, zone 1, up to 2 lb"},
		"a fall with zone":      {peak, cell("ground-retail", 4, 8, 1), "zone dip", "ground-retail, zone 9, up to 1 lb"},
		"a fall with shape":     {norwegian, cell("brev-b4-7cm", 3, 0, 4000), "shape dip", "brev-b4-2cm, zone home, up to 350 g"},
		"a missing zone":        {norwegian, func(c *tariff.Card) { c.Service("brev-larger").Prices.Zones[1] = "europa" }, "missing zone", "brev-larger, zone europe"},
		"a missing step":        {peak, func(c *tariff.Card) { p := &c.Service("ground-retail").Prices; p.Rows = slices.Delete(p.Rows, 9, 10) }, "gap", "ground-retail, up to 7 lb"},
		"days of an older card": {peak, func(c *tariff.Card) { c.From, c.ID = calendar.Date(2025, 10, 1), "mine" }, "dates", "from Wed 1 Oct 2025 to Sat 4 Oct 2025"},
		"days of a newer card": {plain, func(c *tariff.Card) {
			c.To, c.ID, c.From = calendar.Date(2025, 10, 7), "mine", calendar.Date(2025, 8, 1)
		}, "dates", "from Sun 5 Oct 2025 to Tue 7 Oct 2025"},
		"money of another place": {norwegian, func(c *tariff.Card) { c.Currency = "SEK" }, "currency", "currency"},
	} {
		all, err := cards.All()
		if err != nil {
			t.Fatal(err)
		}
		c := card(t, x.card)
		x.spoil(c)
		var got []string
		for _, f := range Doubts(c, all) {
			got = append(got, f.Kind+": "+f.Where())
			if f.Text == "" || f.Mend == "" {
				t.Errorf("%s: %+v lacks words", name, f)
			}
		}
		if !slices.Contains(got, x.kind+": "+x.where) {
			t.Errorf("%s: found %q, want %s at %s", name, got, x.kind, x.where)
		}
	}
}

func TestRefuses(t *testing.T) {
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	for name, x := range map[string]struct {
		spoil func(*tariff.Card)
		code  fault.Code
		field string
	}{
		"the same first day":  {func(c *tariff.Card) { c.ID = "mine" }, fault.Taken, "from"},
		"another currency":    {func(c *tariff.Card) { c.Currency = "CAD" }, fault.Invalid, "currency"},
		"a negative price":    {func(c *tariff.Card) { c.Services[0].Prices.Rows[2].Prices[1] = -7 }, fault.Invalid, "services[0].prices.rows[2].prices"},
		"a step twice":        {func(c *tariff.Card) { c.Services[0].Prices.Rows[2].Mass = c.Services[0].Prices.Rows[1].Mass }, fault.Invalid, "services[0].prices.rows[2].mass"},
		"it replaces itself":  {func(c *tariff.Card) { c.Replaces = []tariff.Replaced{{Series: c.Series, Class: "ground"}} }, fault.Invalid, "replaces[0].series"},
		"nothing is replaced": {func(c *tariff.Card) { c.Replaces = []tariff.Replaced{{Series: "x"}} }, fault.Invalid, "replaces[0].class"},
	} {
		c := card(t, peak)
		x.spoil(c)
		found := fault.All(Refuses(c, all, "USD"))
		if len(found) == 0 || found[0].Code != x.code || found[0].Field != x.field || found[0].Mend == "" {
			t.Errorf("%s: %+v", name, found)
		}
	}
	if err := Refuses(card(t, peak), all, "USD"); err != nil {
		t.Error(err)
	}
}

// Source of the differences: the peak card is the plain one with published temporary amounts on top, and the published list
// of 2025-10-05 has services that the plain one leaves out (USPS news of 2025-10-07).
func TestDiffOfTwoPublishedCards(t *testing.T) {
	changes := Diff(card(t, plain), card(t, peak))
	cells, texts := map[string]int{}, []string{}
	for _, c := range changes {
		if c.Kind == "cell" {
			cells[c.Service]++
			if add := c.Now - c.Was; add != 40 && add != 50 && add != 60 && add != 90 && add != 95 && add != 100 && add != 145 && add != 200 && add != 300 && add != 325 && add != 575 && add != 700 {
				t.Errorf("%s: %s", c.Service, c.Text)
			}
			continue
		}
		texts = append(texts, strings.Trim(c.Service+" "+c.Text, " "))
	}
	if d := cmp.Diff(map[string]int{"ground-retail": 666, "priority-retail": 630}, cells); d != "" {
		t.Error(d)
	}
	for _, want := range []string{"first day: 2025-07-13 → 2025-10-05", "ground-retail-oversized USPS Ground Advantage oversized, retail is new"} {
		if !slices.Contains(texts, want) {
			t.Errorf("%q is not said: %q", want, texts)
		}
	}
	first := changes[slices.IndexFunc(changes, func(c Change) bool { return c.Kind == "cell" && c.Service == "ground-retail" })]
	if first.Text != "zone 1, up to 4 oz: 6.80 USD → 7.20 USD, +5.9 %" || first.Was != 680 || first.Now != 720 || first.Permille != 59 {
		t.Errorf("%+v", first)
	}
	if got := Diff(card(t, peak), card(t, peak)); len(got) != 0 {
		t.Errorf("a card differs from itself: %v", got)
	}
}

// Every kind of rule that changes is said, and turning the cards round says as much.
func TestDiffSaysEveryRule(t *testing.T) {
	was, now := card(t, peak), card(t, peak)
	s := now.Service("ground-retail")
	s.Name, s.Tracking, s.Signature = "Ground", false, nil
	s.Days.Max = 7
	s.Dimensional.Divisor.Volume = 139 * tariff.CubicInch
	s.Dimensional.Round.Mode = tariff.Up
	*s.Limits[0].Max = int64(50 * measure.Pound)
	s.Surcharges[0].Amount++
	s.Surcharges = s.Surcharges[:len(s.Surcharges)-1]
	s.Cover.Included, s.Claims = 0, nil
	s.Prices.Rows = s.Prices.Rows[1:]
	now.Zones[0].Rows[0].Zone = "7"
	now.Services = now.Services[:len(now.Services)-1]
	for _, pair := range [][2]*tariff.Card{{was, now}, {now, was}} {
		kinds := map[string]int{}
		for _, c := range Diff(pair[0], pair[1]) {
			kinds[c.Kind]++
			if strings.Contains(c.Text, "%!") {
				t.Errorf("%q", c.Text)
			}
		}
		if d := cmp.Diff(map[string]int{"service": 4, "limit": 1, "dimensional": 1, "surcharge": 2, "cover": 1, "signature": 1, "claims": 3, "step": 1, "zones": 1}, kinds); d != "" {
			t.Error(d)
		}
	}
}

func TestPermilleIsRoundedAlikeBothWays(t *testing.T) {
	for _, c := range []struct{ was, now, want int64 }{{1000, 1001, 1}, {2000, 2001, 1}, {2000, 1999, -1}, {3000, 3001, 0}, {3000, 2999, 0}, {100, 140, 400}, {100, 80, -200}} {
		if got := permille(c.was, c.now); got != c.want {
			t.Errorf("from %d to %d: %d, want %d", c.was, c.now, got, c.want)
		}
	}
}
