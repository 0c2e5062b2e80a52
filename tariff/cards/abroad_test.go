package cards

import (
	"fmt"
	"slices"
	"testing"

	"solander/calendar"
	"solander/measure"
	"solander/tariff"
)

const (
	german    = "de-deutsche-post-2022-07-01"
	french    = "fr-la-poste-2023-01-01"
	collected = "fr-la-poste-collection-2023-01-01"
	norwegian = "no-posten-letters-2021-01-04"
	july      = "us-usps-ground-commercial-2026-07-12"
)

// piece is a parcel in millimetres and grams; past makes its longest, middle or shortest side, or its mass, one base
// unit (a nanometre, a nanogram) larger.
type piece struct {
	form    tariff.Form
	l, w, h int64 // in tenths of a millimetre
	g       int64
	past    string
}

func (p piece) parcel() *tariff.Parcel {
	tenth := measure.Millimetre / 10
	size := tariff.SizeOf(measure.Length(p.l)*tenth, measure.Length(p.w)*tenth, measure.Length(p.h)*tenth)
	mass := measure.Mass(p.g) * measure.Gram
	switch p.past {
	case "length":
		size.Length++
	case "width":
		size.Width++
	case "height":
		size.Height++
	case "diameter":
		size.Width++
		size.Height++
	case "mass":
		mass++
	case "under length":
		size.Length--
	case "under width":
		size.Width--
	case "under height":
		size.Height--
	}
	return &tariff.Parcel{Form: p.form, Size: size, Mass: mass, Stiff: true}
}

func flatOf(l, w, h, g int64) piece { return piece{tariff.Box, 10 * l, 10 * w, 10 * h, g, ""} }
func rollOf(l, d, g int64) piece    { return piece{tariff.Cylinder, 10 * l, 10 * d, 10 * d, g, ""} }
func (p piece) beyond(side string) piece {
	p.past = side
	return p
}

// by returns what a parcel costs by each service of a card that takes it.
func by(t *testing.T, card string, from, to string, p *tariff.Parcel) map[string]int64 {
	t.Helper()
	c := load(t)[card]
	if c == nil {
		t.Fatalf("%s is not bundled", card)
	}
	out := map[string]int64{}
	for i := range c.Services {
		o, why := tariff.NewOffer(c, &c.Services[i], tariff.Place{Country: from, Postcode: "10115"}, tariff.Place{Country: to, Postcode: "75001"})
		if why != nil {
			continue
		}
		if price, ok := o.Cost(p, tariff.Extras{}); ok {
			out[c.Services[i].ID] = price
		}
	}
	return out
}

// cheapest names the cheapest way of a card and its price, "-" when there is none.
func cheapest(ways map[string]int64) string {
	best := "-"
	for _, id := range sortedKeys(ways) {
		if best == "-" || ways[id] < ways[best] {
			best = id
		}
	}
	if best == "-" {
		return best
	}
	return fmt.Sprintf("%s %d", best, ways[best])
}

func sortedKeys(m map[string]int64) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

type wayCase struct {
	name, card, to string
	piece          piece
	want           string
}

func tryWays(t *testing.T, cases []wayCase) {
	t.Helper()
	home := map[string]string{german: "DE", french: "FR", norwegian: "NO"}
	for _, c := range cases {
		to := c.to
		if to == "" {
			to = home[c.card]
		}
		if got := cheapest(by(t, c.card, home[c.card], to, c.piece.parcel())); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// Source: the worked examples of the collection of postal facts behind the cards (sections 8.3, 8.4 and 8.5 there,
// derived from the lists that each card names).
func TestWorkedExamplesOfThreeCountries(t *testing.T) {
	tryWays(t, []wayCase{
		{"8.3.8: a tube of 90 x 10 cm, 1.2 kg, is too long for the small parcels", german, "", rollOf(900, 100, 1200), "paket-10kg 699"},
		{"8.3.8: a flat of 330 x 240 x 15 mm, 400 g", german, "", flatOf(330, 240, 15, 400), "grossbrief 160"},
		{"8.3.8: at 20.5 mm it is the larger letter", german, "", piece{tariff.Box, 3300, 2400, 205, 400, ""}, "maxibrief 275"},
		{"8.4.5: a flat of 50 x 40 x 1 cm, 700 g, by green letter", french, "", flatOf(500, 400, 10, 700), "lettre-verte 725"},
		{"8.5.3: an A4 print flat, 350 g", norwegian, "", flatOf(330, 240, 15, 350), "brev-b4-2cm 4500"},
		{"8.5.3: 351 g", norwegian, "", flatOf(330, 240, 15, 351), "brev-b4-2cm 8800"},
		{"8.5.3: A3 in board, 500 g: third table", norwegian, "", flatOf(450, 330, 10, 500), "brev-larger 14000"},
		{"8.5.3: a tube of 70 x 8 cm, 800 g", norwegian, "", rollOf(700, 80, 800), "brev-larger 14000"},
		{"8.5.3: the tube to Europe", norwegian, "DE", rollOf(700, 80, 800), "brev-larger 18000"},
		{"8.5.3: the tube to the world", norwegian, "US", rollOf(700, 80, 800), "brev-larger 22500"},
	})
	// 8.4.5 goes on: registered R3 12.38, parcel 8.25; at 3.1 cm only the parcel. Its 8.25 is the price of the step of
	// 1 kg. The list has a step of 750 g at 7.60 (one source), which is what 700 g pay by the table.
	thin, thick := by(t, french, "FR", "FR", flatOf(500, 400, 10, 700).parcel()), by(t, french, "FR", "FR", flatOf(500, 400, 31, 700).parcel())
	if thin["lettre-recommandee-r3"] != 1238 || thin["colissimo-domicile"] != 760 {
		t.Errorf("a flat of 700 g: %v", thin)
	}
	if got := sortedKeys(thick); !slices.Equal(got, []string{"colissimo-domicile"}) {
		t.Errorf("at 3.1 cm: %v", got)
	}
	if got := by(t, french, "FR", "FR", flatOf(500, 400, 10, 751).parcel())["colissimo-domicile"]; got != 825 {
		t.Errorf("the step of 1 kg costs %d", got)
	}
}

// Source: limits of the operators' pages, each with its day and its status, as the cards name them.
func TestLimitsOfThreeCountries(t *testing.T) {
	maxi := flatOf(353, 250, 50, 1000)
	roll := rollOf(1200, 150, 31500)
	french1, sum1 := flatOf(600, 370, 30, 2000), flatOf(600, 400, 30, 2000)
	tryWays(t, []wayCase{
		{"Großbrief at its limits", german, "", flatOf(353, 250, 20, 500), "grossbrief 160"},
		{"Großbrief, thicker", german, "", flatOf(353, 250, 20, 500).beyond("height"), "maxibrief 275"},
		{"Großbrief, heavier", german, "", flatOf(353, 250, 20, 500).beyond("mass"), "maxibrief 275"},
		{"Standardbrief at its limits", german, "", flatOf(235, 125, 5, 20), "standardbrief 85"},
		{"Standardbrief, longer", german, "", flatOf(235, 125, 5, 20).beyond("length"), "grossbrief 160"},
		{"Standardbrief, wider", german, "", flatOf(235, 125, 5, 20).beyond("width"), "grossbrief 160"},
		{"Standardbrief, thicker", german, "", flatOf(235, 125, 5, 20).beyond("height"), "kompaktbrief 100"},
		{"Kompaktbrief, shortest", german, "", flatOf(100, 70, 5, 20), "kompaktbrief 100"},
		{"shorter than any letter", german, "", flatOf(100, 70, 5, 20).beyond("under length"), "-"},
		{"Maxibrief at its limits", german, "", maxi, "maxibrief 275"},
		{"Maxibrief, longer", german, "", maxi.beyond("length"), "paeckchen-m 479"},
		{"Maxibrief, wider", german, "", maxi.beyond("width"), "paeckchen-m 479"},
		{"Maxibrief, thicker", german, "", maxi.beyond("height"), "paeckchen-m 479"},
		{"Päckchen S at its limits", german, "", flatOf(350, 250, 100, 2000), "paeckchen-s 399"},
		{"Päckchen S, longer", german, "", flatOf(350, 250, 100, 2000).beyond("length"), "paeckchen-m 479"},
		{"Päckchen S, heavier", german, "", flatOf(350, 250, 100, 2000).beyond("mass"), "paket-10kg 699"},
		{"Päckchen M at its limits", german, "", flatOf(600, 300, 150, 2000), "paeckchen-m 479"},
		{"Päckchen M, longer", german, "", flatOf(600, 300, 150, 2000).beyond("length"), "paket-10kg 699"},
		{"Päckchen M, wider", german, "", flatOf(600, 300, 150, 2000).beyond("width"), "paket-10kg 699"},
		{"Päckchen M, thicker", german, "", flatOf(600, 300, 150, 2000).beyond("height"), "paket-10kg 699"},
		{"5 kg", german, "", flatOf(600, 400, 300, 5000), "paket-10kg 699"},
		{"more than 5 kg: the doubtful cell, safe side", german, "", flatOf(600, 400, 300, 5000).beyond("mass"), "paket-10kg 949"},
		{"10 kg", german, "", flatOf(600, 400, 300, 10000), "paket-10kg 949"},
		{"more than 10 kg", german, "", flatOf(600, 400, 300, 10000).beyond("mass"), "paket-31.5kg 1649"},
		{"31.5 kg at the limits of size", german, "", flatOf(1200, 600, 600, 31500), "paket-31.5kg 1649"},
		{"heavier", german, "", flatOf(1200, 600, 600, 31500).beyond("mass"), "-"},
		{"longer", german, "", flatOf(1200, 600, 600, 31500).beyond("length"), "-"},
		{"wider", german, "", flatOf(1200, 600, 600, 31500).beyond("width"), "-"},
		{"length + girth of 300 cm", german, "", flatOf(1200, 600, 300, 10000), "paket-10kg 949"},
		{"more than 300 cm", german, "", flatOf(1200, 600, 300, 10000).beyond("height"), "paket-31.5kg 1649"},
		{"thinner than a parcel", german, "", flatOf(700, 300, 10, 400).beyond("under height"), "-"},
		{"a roll at its limits", german, "", roll, "paket-31.5kg 1649"},
		{"a roll, longer", german, "", roll.beyond("length"), "-"},
		{"a roll, thicker", german, "", roll.beyond("diameter"), "-"},
		{"not abroad", german, "FR", flatOf(330, 240, 15, 400), "-"},

		{"lettre verte at its limits: sum 100 cm", french, "", french1, "lettre-verte 885"},
		{"longer", french, "", flatOf(600, 300, 30, 2000).beyond("length"), "colissimo-domicile 955"},
		{"thicker", french, "", flatOf(600, 300, 30, 2000).beyond("height"), "colissimo-domicile 955"},
		{"heavier", french, "", flatOf(600, 300, 30, 2000).beyond("mass"), "colissimo-domicile 1465"},
		{"sum past 100 cm", french, "", french1.beyond("width"), "colissimo-domicile 955"},
		{"sum of 103 cm", french, "", sum1, "colissimo-domicile 955"},
		{"shortest face", french, "", flatOf(140, 90, 5, 20), "lettre-verte 116"},
		{"a shorter one", french, "", flatOf(140, 90, 5, 20).beyond("under length"), "-"},
		{"a narrower one", french, "", flatOf(140, 90, 5, 20).beyond("under width"), "-"},
		{"parcel at its limits: 100 cm, sum 150 cm", french, "", flatOf(1000, 300, 200, 30000), "colissimo-domicile 3340"},
		{"parcel, longer", french, "", flatOf(1000, 300, 100, 30000).beyond("length"), "-"},
		{"parcel, sum past 150 cm", french, "", flatOf(1000, 300, 200, 30000).beyond("height"), "-"},
		{"parcel, heavier", french, "", flatOf(1000, 300, 200, 30000).beyond("mass"), "-"},
		{"parcel, narrowest", french, "", flatOf(700, 110, 50, 700), "colissimo-domicile 760"},
		{"parcel, narrower", french, "", flatOf(700, 110, 50, 700).beyond("under width"), "-"},
		{"a bare tube is left out", french, "", rollOf(700, 80, 800), "-"},
		{"not abroad", french, "DE", flatOf(330, 240, 15, 400), "-"},

		{"B4, 2 cm", norwegian, "", flatOf(353, 250, 20, 2000), "brev-b4-2cm 12500"},
		{"thicker", norwegian, "", flatOf(353, 250, 20, 2000).beyond("height"), "brev-b4-7cm 13500"},
		{"longer than B4", norwegian, "", flatOf(353, 250, 20, 2000).beyond("length"), "brev-larger 17500"},
		{"wider than B4", norwegian, "", flatOf(353, 250, 20, 2000).beyond("width"), "brev-larger 17500"},
		{"B4, 7 cm", norwegian, "", flatOf(353, 250, 70, 2000), "brev-b4-7cm 13500"},
		{"thicker than 7 cm", norwegian, "", flatOf(353, 250, 70, 2000).beyond("height"), "brev-larger 17500"},
		{"heavier than 2 kg", norwegian, "", flatOf(353, 250, 70, 2000).beyond("mass"), "-"},
		{"60 cm, sum 90 cm", norwegian, "", flatOf(600, 250, 50, 1000), "brev-larger 14000"},
		{"longer than 60 cm", norwegian, "", flatOf(600, 200, 50, 1000).beyond("length"), "-"},
		{"sum past 90 cm", norwegian, "", flatOf(600, 250, 50, 1000).beyond("width"), "-"},
		{"smallest face", norwegian, "", flatOf(140, 90, 5, 20), "brev-b4-2cm 1800"},
		{"a shorter face", norwegian, "", flatOf(140, 90, 5, 20).beyond("under length"), "-"},
		{"a narrower face", norwegian, "", flatOf(140, 90, 5, 20).beyond("under width"), "-"},
		{"roll of 90 cm, length + 2 d of 104 cm", norwegian, "", rollOf(900, 70, 1000), "brev-larger 14000"},
		{"a longer roll", norwegian, "", rollOf(900, 60, 1000).beyond("length"), "-"},
		{"length + 2 d past 104 cm", norwegian, "", rollOf(900, 70, 1000).beyond("diameter"), "-"},
		{"shortest roll: length + 2 d of 17 cm", norwegian, "", rollOf(110, 30, 100), "brev-larger 9000"},
		{"smaller", norwegian, "", rollOf(110, 30, 100).beyond("under length"), "-"},
		{"shorter than 10 cm", norwegian, "", rollOf(100, 40, 100).beyond("under length"), "-"},
		{"Russia counts as world", norwegian, "RU", flatOf(330, 240, 15, 100), "brev-b4-2cm 4300"},
		{"Iceland as Europe", norwegian, "IS", flatOf(330, 240, 15, 100), "brev-b4-2cm 3500"},
	})
}

// A card of one country prices nothing that starts in another, though the money is the same.
func TestCardsStayAtHome(t *testing.T) {
	for _, c := range []struct{ card, home, other string }{{german, "DE", "FR"}, {french, "FR", "DE"}, {collected, "FR", "DE"}, {norwegian, "NO", "SE"}} {
		card := load(t)[c.card]
		if got := by(t, c.card, c.other, c.other, flatOf(330, 240, 15, 400).parcel()); len(got) > 0 {
			t.Errorf("%s within %s: %v", c.card, c.other, got)
		}
		if !card.StartsIn(c.home) || card.StartsIn(c.other) {
			t.Errorf("%s: starts in %s %v, in %s %v", c.card, c.home, card.StartsIn(c.home), c.other, card.StartsIn(c.other))
		}
		if code, _ := card.Stale(calendar.Date(2026, 7, 12)); code != "card.ended" {
			t.Errorf("%s does not say that it has ended: %q", c.card, code)
		}
	}
}

// Source: single published cells of 2026-07-12 (news): commercial Ground up to 15.999 oz, zones 1, 2, 4, 5, 8 and 9, and
// cover to 50, 100, 200 and 300; the first row of the transcribed table; 24 x 18 x 6 in counts as 19 lb by 139 in³/lb, 16 lb
// by 166 (worked in the same collection).
func TestGroundOfJuly(t *testing.T) {
	c := load(t)[july]
	s := c.Service("ground-commercial")
	cells := map[string]tariff.Cell{"1": 693, "2": 694, "4": 746, "5": 769, "8": 840, "9": 840}
	first := map[string]tariff.Cell{"1": 761, "2": 768, "4": 815, "5": 874, "8": 1067, "9": 1067}
	for i, zone := range s.Prices.Zones {
		light, known := cells[zone]
		if !known {
			continue
		}
		delete(cells, zone)
		if got := s.Prices.Rows[0].Prices[i]; got != first[zone] || got < light {
			t.Errorf("zone %s: 1 lb costs %d, the list says %d, and %d below 1 lb: not the safe side", zone, got, first[zone], light)
		}
	}
	if len(cells) > 0 || s.Prices.Rows[0].Mass != measure.Pound {
		t.Errorf("zones without a check: %v; first step %v", cells, s.Prices.Rows[0].Mass)
	}
	near := at(t, july, "ground-commercial", "24011", "US")
	for _, w := range []struct {
		name   string
		parcel *tariff.Parcel
		want   measure.Mass
	}{
		{"24 x 18 x 6 in", box("24 in", "18 in", "6 in", "2 lb"), 19 * measure.Pound},
		{"every part of an inch counts", box("23 1/64 in", "17 1/64 in", "5 1/64 in", "2 lb"), 19 * measure.Pound},
		{"a tube of 30 x 6 in has none", round(box("30 in", "6 in", "6 in", "2 lb"), "6 in"), 2 * measure.Pound},
		{"12 x 12 x 12 in has none", box("12 in", "12 in", "12 in", "2 lb"), 2 * measure.Pound},
		{"12 1/64 x 12 x 12 in has", box("12 1/64 in", "12 in", "12 in", "2 lb"), 14 * measure.Pound},
		{"4 oz pay for 1 lb", box("12 in", "9 in", "1 in", "4 oz"), 4 * measure.Ounce},
	} {
		p, why := near.Price(w.parcel, tariff.Extras{})
		if why != nil || p.Billed != w.want {
			t.Errorf("%s: billed %v, want %v (%v)", w.name, p.Billed, w.want, why)
		}
	}
	for value, want := range map[int64]int64{10000: 0, 20000: 450, 30000: 455} {
		if got, _, ok := s.Cover.Price(value); !ok || got != want {
			t.Errorf("cover of %d: %d, %v", value, got, ok)
		}
	}
	if _, most, ok := s.Cover.Price(30001); ok || most != 30000 {
		t.Errorf("cover past what is known: up to %d, %v", most, ok)
	}
}

// From its first day the card of July holds Ground; the older card goes on with everything else, and nothing of Ground
// is bought by both.
func TestJulyTakesThePlaceOfGround(t *testing.T) {
	all, err := All()
	if err != nil {
		t.Fatal(err)
	}
	ground := func(day calendar.Day) (holds []string, priority bool) {
		for _, c := range tariff.Select(all, []string{"commercial"}, day) {
			for _, s := range c.Services {
				if s.Class == "ground" {
					holds = append(holds, c.ID+"/"+s.ID)
				}
				priority = priority || s.Class == "priority"
			}
		}
		return holds, priority
	}
	before, ok := ground(calendar.Date(2026, 7, 11))
	if len(before) != 3 || !ok || slices.ContainsFunc(before, func(s string) bool { return s[:len(july)] == july }) {
		t.Errorf("the day before: %v", before)
	}
	after, ok := ground(calendar.Date(2026, 7, 12))
	if !slices.Equal(after, []string{july + "/ground-commercial"}) || !ok {
		t.Errorf("from the day on: %v, priority %v", after, ok)
	}
	if load(t)["us-usps-commercial-2025-10-05"].Service("ground-commercial") == nil {
		t.Error("the older card was changed")
	}
}
