package web

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"solander/pricecards"
	"solander/tariff"
)

const commercial = "us-usps-commercial-2025-10-05"

// listOf writes a service's table as an operator prints it: a title, weights down, zones across, a note below.
// Source of the prices: the operator's published list that the bundled card names.
func (s *site) listOf(service string) (text string, p tariff.Prices) {
	s.t.Helper()
	c, err := pricecards.Card(s.ctx(), s.studio, commercial)
	s.must(err)
	p = c.Service(service).Prices
	var b strings.Builder
	b.WriteString("Prices of parcels;;\nWeight not over (oz);Zone " + strings.Join(p.Zones, ";Zone ") + "\n")
	for _, r := range p.Rows {
		oz := strings.TrimSuffix(strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", float64(r.Mass)/28349523125), "0"), "."), "") // of a test's text only
		b.WriteString(strings.ReplaceAll(oz, ".", ","))
		for _, price := range r.Prices {
			fmt.Fprintf(&b, ";%d,%02d $", price/100, price%100)
		}
		b.WriteString("\n")
	}
	b.WriteString("Prices hold for one parcel.\n")
	return b.String(), p
}

// listed keeps a list of prices and returns the address of its page.
func (s *site) listed() string {
	s.t.Helper()
	text, _ := s.listOf("ground-commercial")
	a := s.post("/studio/cards/lists", "rows", text)
	if a.status != 303 {
		s.t.Fatalf("the list was not taken: %d %s", a.status, a.body)
	}
	return a.header.Get("Location")
}

// A published list with decimal commas and signs, given as rows, becomes the table of the card that follows: every cell as published.
func TestPricesFromAFile(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, published := s.listOf("ground-commercial")
	p := s.get(s.listed()).is(200)
	p.has("#list header", fmt.Sprintf("%d steps in 9 zones, in USD", len(published.Rows)))
	p.has("#list .matter", "No cell is in doubt")
	if a := s.sendForm(p, "#editor", "do", "keep"); a.status != 422 {
		t.Errorf("kept without day and source: %d", a.status)
	} else {
		a.has("#list-from-wrong", "")
		a.has("#list-source-wrong", "")
	}
	into := "after|" + commercial + "|ground-commercial"
	a := s.sendForm(p, "#editor", "do", "show", "from", "2026-05-01", "source", "their list", "place", into).is(200)
	a.has("#made", "us-usps-commercial-2026-05-01")
	s.leads(s.sendForm(a, "#editor", "do", "keep"), "/studio/cards/edit?id=us-usps-commercial-2026-05-01&service=ground-commercial&said=card-list")
	kept, err := pricecards.Card(s.ctx(), s.studio, "us-usps-commercial-2026-05-01")
	s.must(err)
	got := kept.Service("ground-commercial").Prices
	for i := range published.Rows {
		if !slices.Equal(published.Rows[i].Prices, got.Rows[i].Prices) || published.Rows[i].Mass != got.Rows[i].Mass || got.Rows[i].Source != "their list" || len(got.Rows[i].Carried) > 0 {
			t.Errorf("row %d: %+v, published %+v", i, got.Rows[i], published.Rows[i])
		}
	}
	if other := kept.Service("priority-commercial").Prices; len(other.Rows[0].Carried) == 0 || !slices.Equal(other.Rows[0].Prices, []tariff.Cell{818, 833, 889, 927, 986, 1021, 1091, 1161, 1983}) && len(other.Rows[0].Prices) == 0 {
		t.Errorf("what was not in the list is not marked as carried over: %+v", other.Rows[0])
	}
}

// What is wrong in a list is named with its cell, and nothing is kept of it.
func TestSlipsInAList(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	other := s.post("/studio/cards/lists", "rows", "kg;Zone Nord;Zone Sued\n1;4,50;5,00\n2;5,20;6,00\n").header.Get("Location")
	s.get(other).is(200).has(`#editor select[name=place] option[selected]`, "a card of its own") // no service here has such zones
	before, err := pricecards.Cards(s.ctx(), s.studio)
	s.must(err)
	into := "after|" + commercial + "|ground-commercial"
	for name, c := range map[string]struct{ rows, more, says string }{
		"a hole":             {"weight lb,zone 1,zone 2\n1,4.50,5.00\n2,,6.00\n3,7.00,8.00\n", "", "no price stands here"},
		"a comma":            {"weight lb,zone 1,zone 2\n1,4.50,5.00\n2,\"5,20\",6.00\n3,7.00,8.00\n", "", "the groups of digits are not of three: 5,20"},
		"another currency":   {"weight lb,zone 1,zone 2\n1,4.50 €,5.00 €\n2,5.20 €,6.00 €\n", "", "able is in EUR, the card in USD"},
		"days of a card":     {"weight lb,zone 1,zone 2\n1,4.50,5.00\n2,5.20,6.00\n", "2025-10-05", "is not after 2025-10-05"},
		"it falls by zone":   {"weight lb,zone 1,zone 2\n1,4.50,4.00\n2,5.20,6.00\n", "", "C2"},
		"it falls by weight": {"weight lb,zone 1,zone 2\n1,4.50,5.00\n2,4.20,6.00\n", "", "B3"},
	} {
		at := s.post("/studio/cards/lists", "rows", c.rows).header.Get("Location")
		from := c.more
		if from == "" {
			from = "2026-05-01"
		}
		a := s.sendForm(s.get(at).is(200), "#editor", "do", "keep", "from", from, "source", "their list", "place", into)
		if a.status != 422 || !strings.Contains(textOf(a.one("body")), c.says) {
			t.Errorf("%s: %d, %q is not said: %s", name, a.status, c.says, textOf(a.one("main")))
		}
	}
	after, err := pricecards.Cards(s.ctx(), s.studio)
	s.must(err)
	if !reflect.DeepEqual(before, after) {
		t.Errorf("something was kept: %+v", after)
	}
}
