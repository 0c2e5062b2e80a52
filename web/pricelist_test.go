package web

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"solander/internal/browsertest"
	"solander/order"
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

// What falls by weight is told at its cell as soon as the list is read, wherever it is to go.
func TestAListIsLookedOverAtOnce(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for rows, at := range map[string]string{"kg;Near;Far\n1;9.10;12.20\n2;11.80;10.10\n": "C3", "kg;Price\n1;9.10\n2;8.80\n": "B3"} {
		p := s.get(s.post("/studio/cards/lists", "rows", rows).header.Get("Location")).is(200)
		p.has(`#editor select[name=place] option[selected]`, "a card of its own")
		p.has("#doubted li strong", at)
	}
}

// Another operator's list with zones of its own becomes a card: she says where the zones lie, and a parcel is priced by the place that it
// goes to. Source of prices and groups: the published list that the bundled card names.
func TestAListWithZonesOfItsOwn(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const like = "us-usps-abroad-retail-2025-10-05"
	published, err := pricecards.Card(s.ctx(), s.studio, like)
	s.must(err)
	at := slices.IndexFunc(published.Services, func(x tariff.Service) bool { return len(x.Prices.Zones) > 2 })
	service := published.Services[at]
	var b, places strings.Builder
	b.WriteString("lb;Group " + strings.Join(service.Prices.Zones, ";Group ") + "\n")
	n := 0
	for _, r := range service.Prices.Rows {
		if oz := int64(r.Mass) / 28349523125; int64(r.Mass)%28349523125 == 0 && oz%16 == 0 && !slices.Contains(r.Prices, tariff.NotCarried) {
			n++
			fmt.Fprintf(&b, "%d", oz/16)
			for _, p := range r.Prices {
				fmt.Fprintf(&b, ";%d.%02d", p/100, p%100)
			}
			b.WriteString("\n")
		}
	}
	if n < 3 {
		t.Fatalf("%d steps of whole pounds: too few to test with", n)
	}
	for _, z := range published.Zones {
		for _, r := range z.Rows {
			if z.Name == service.Zones {
				fmt.Fprintf(&places, "%s\t%s\n", order.CountryName(r.Country), r.Zone)
			}
		}
	}
	p := s.get(s.post("/studio/cards/lists", "rows", b.String()).header.Get("Location")).is(200)
	own := []string{"from", "2026-01-01", "source", "their list", "operator", "Another post", "name", "Abroad", "class", "counter", "place", "alone||", "sure", "1", "do", "keep"}
	s.sendForm(p, "#editor", own...).is(422).has("#list-places-wrong", "nothing says which zone a place is in")
	s.sendForm(p, "#editor", append(own, "places", "Atlantis 1\n"+places.String())...).is(422).has("#list-places-wrong", "Atlantis")
	s.sendForm(p, "#editor", append(own, "places", places.String(), "place", "alone|"+like+"|"+service.ID)...).is(422).has("#list-places-wrong", "already")
	s.leads(s.sendForm(p, "#editor", append(own, "places", places.String())...), "/studio/cards/edit?id=another-post-counter-2026-01-01&service=abroad&said=card-list")
	kept, err := pricecards.Card(s.ctx(), s.studio, "another-post-counter-2026-01-01")
	s.must(err)
	seen := map[string]bool{}
	for _, row := range published.Zones[0].Rows {
		to := tariff.Place{Country: row.Country}
		was, is := published.Table(service.Zones, tariff.Place{Country: "US"}), kept.Table("abroad", tariff.Place{Country: "US", Postcode: "05401"})
		if is == nil || is.Find(to) == nil || is.Find(to).Zone != was.Find(to).Zone {
			t.Fatalf("%s: %+v", row.Country, is)
		}
		seen[is.Find(to).Zone] = true
	}
	if len(seen) != len(service.Prices.Zones) {
		t.Errorf("%d zones were met of %d", len(seen), len(service.Prices.Zones))
	}
	if kept.Services[0].Abroad == nil || !*kept.Services[0].Abroad || len(kept.Services[0].Countries) > 0 {
		t.Errorf("it reaches %+v", kept.Services[0])
	}
}

// While a price is still typed, its cell says what looks like a slip, before day and source stand there; a price that is none says so
// on the page of the form alone.
func TestPricesLookedOverWhileTyped(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p, base := s.open()
	p.Go(base + renewal)
	browsertest.Eval[bool](p, `(document.querySelector("#renew-price-0-").select(), true)`)
	p.Type("399.99")
	p.Wait("#grid fieldset .doubt")
	if got := browsertest.Eval[string](p, `document.activeElement.id + " " + document.activeElement.value`); got != "renew-price-0- 399.99" {
		t.Errorf("her hands were moved: %s", got)
	}
	if got := browsertest.Eval[string](p, `document.querySelector("#renew-from").value + document.querySelector("#renew-source").value`); got != "" {
		t.Errorf("something was filled in: %s", got)
	}
}
