package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"solander/measure"
	"solander/stockroom"
)

// A first real studio, step by step, without JavaScript: back and forth, a mistake on the way, and nothing
// kept before the end.
func TestSetUpWalksThrough(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	for _, path := range []string{"/", "/orders", "/studio", "/papers/bench.pdf"} {
		if a := s.get(path); a.status != 303 || a.location != "/set-up" {
			t.Errorf("%s: status %d to %q before set-up", path, a.status, a.location)
		}
	}
	s.post("/orders", saleFields()...).is(409)
	before := s.sum()

	first := s.get("/set-up").is(200)
	first.has(".steps [aria-current]", "Studio and address")
	wrong := s.step(first, 422, "studio", "Marsh Lane Press", "artist", "Ines Corrow", "ship_to.name", "Marsh Lane Press", "ship_to.line1", "4 Marsh Lane",
		"ship_to.city", "Roanoke", "ship_to.region", "VA", "ship_to.postcode", "2401", "ship_to.country", "US")
	wrong.has("#setup-ship_to-postcode-wrong", "not a postcode of US")
	if v := attr(wrong.one("#setup-studio"), "value"); v != "Marsh Lane Press" {
		t.Errorf("the studio's name is %q", v)
	}
	outlets := s.step(wrong, 200, "ship_to.postcode", "24011")
	outlets.has(".steps [aria-current]", "Outlets")
	back := s.step(outlets, 200, "go", "back", "outlets[0].fee", "6.5")
	if v := attr(back.one("#setup-ship_to-city"), "value"); v != "Roanoke" {
		t.Errorf("going back lost the city: %q", v)
	}
	outlets = s.step(back, 200)
	if v := attr(outlets.one("#setup-outlets-0--fee"), "value"); v != "6.5" {
		t.Errorf("going back and forth lost the fee: %q", v)
	}
	s.step(outlets, 422, "outlets[0].promise_days", "9999").has("#setup-outlets-0--promise_days-wrong", "not a likely promise")
	work := s.step(outlets, 200)
	s.step(work, 422, "title", "Heron at dusk", "width", "12 yd", "height", "16 in").has("#setup-width-wrong", "unit")
	shelf := s.step(work, 200, "title", "Heron at dusk", "year", "2024", "width", "12", "height", "16", "grade", "fine", "known_paper", "1", "limit", "250", "ap", "5", "price", "90", "sheets", "7")
	shelf.has(".steps [aria-current]", "Shelf")
	if s.sum() != before {
		t.Error("something was kept before the last step")
	}
	s.step(shelf, 422, "shelf[0].stock", "-2").has("#setup-shelf-0--stock-wrong", "negative")
	a := s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), "shelf[0].stock", "25", "go", "next")...)
	bench := s.leads(a, "/")
	bench.has(".said", "set up")
	bench.has(".house", "Marsh Lane Press")
	s.get("/editions").has("td", "250, 5 AP")
	s.get("/editions/1").has(".over", "12 × 16 in") // a number alone is in inches here
	s.get("/drawer").has("td", "7")
	s.get("/studio").has("td", "6.5 %")
	if a := s.get("/set-up"); a.status != 303 || a.location != "/" {
		t.Errorf("set-up opens again: %d %q", a.status, a.location)
	}
	s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), "go", "next")...).is(409)
}

// Packaging is offered in the units that were chosen; what was ticked before they were changed is not taken for other packaging.
func TestSetUpOffersPackagingInItsUnits(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	p := s.step(s.get("/set-up"), 200, "studio", "Weir", "artist", "Ines Corrow", "ship_to.name", "Weir", "ship_to.line1", "Am Wehr 3", "ship_to.city", "Weimar", "ship_to.postcode", "99423", "ship_to.country", "DE",
		"currency", "EUR", "units", "metric", "time_zone", "Europe/Berlin", "holidays", "none")
	p = s.step(s.step(p, 200), 200, "title", "Heron at dusk", "width", "210 mm", "height", "297 mm", "grade", "fine", "known_paper", "1", "limit", "30", "price", "90")
	p.has("details.proposed", "stiff envelope B4, 248 × 351 mm inside")
	for _, row := range p.find("details.offer th[scope=row]") {
		if strings.Contains(textOf(row), " in ") {
			t.Errorf("%s is offered to a studio that measures in millimetres", textOf(row))
		}
	}
	first := s.step(s.step(s.step(p, 200, "go", "use"), 200, "go", "back"), 200, "go", "back")
	p = s.step(s.step(s.step(s.step(first, 200, "go", "back"), 200, "units", "inch"), 200), 200)
	p.has("details.proposed", " in × ")
	if ticked := p.find("details.offer input[checked]"); len(ticked) > 0 {
		t.Errorf("%d boxes of other packaging are ticked", len(ticked))
	}
}

// A studio may start without a work.
func TestSetUpWithoutAWork(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	p := s.step(s.get("/set-up"), 200, "studio", "Weir", "artist", "Ines Corrow", "ship_to.name", "Weir", "ship_to.line1", "Am Wehr 3", "ship_to.city", "Weimar", "ship_to.postcode", "99423", "ship_to.country", "Deutschland",
		"currency", "eur", "units", "metric", "time_zone", "Europe/Berlin", "holidays", "none")
	p = s.step(p, 200)
	p.has("#setup-width-hint", "millimetres")
	p = s.step(p, 200)
	s.leads(s.post("/set-up", merged(fieldsOf(p.one("#matter form[action='/set-up']")), "go", "next")...), "/").has("#matter", "none past its promise")
	s.get("/editions").has("#matter", "No work yet")
	s.get("/orders/new").has(".under", "nothing to sell")
	if v := attr(s.get("/studio").one("#settings-ship_to-country option[selected]"), "value"); v != "DE" {
		t.Errorf("Deutschland is %q", v)
	}
	for _, r := range s.settings().Rules { // no German card has these classes, nor sells cover
		if len(r.Then.OnlyClasses) > 0 || len(r.Then.NotClasses) > 0 || r.Then.FullCover {
			t.Errorf("a rule that no card can keep: %+v", r)
		}
	}

	// Numbers alone are millimetres and grams here, and inches are still read as such.
	s.post("/works", "title", "Low tide", "year", "", "note", "").is(303)
	s.post("/editions", "work", "1", "technique", "", "width", "300", "height", "16 in", "grade", "standard", "known_paper", "", "paper", "rag", "grammage", "310", "caliper", "0.5", "tightest_roll", "76", "limit", "", "price", "90", "print_cost", "").is(303)
	s.get("/editions/1").has(".over", "300 × 406.4 mm")
	s.post("/shelf", "spec.kind", "tube", "spec.name", "short tube", "spec.id", "", "spec.length", "460", "spec.diameter", "76", "spec.wall", "2", "spec.mass", "135", "spec.cost", "1.40", "reorder_at", "0", "pack", "1", "stock", "3").is(303)
	items, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	for _, it := range items {
		if it.Spec.ID == "short-tube" && (it.Spec.Length != 460*measure.Millimetre || it.Spec.Mass != 135*measure.Gram) {
			t.Errorf("the tube is %+v", it.Spec)
		}
	}
}

// Set-up offers each country whose cards are bundled, its currency, and millimetres.
func TestSetUpOffersEachCountryOfACard(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	p := s.get("/set-up").is(200)
	for field, values := range map[string][]string{
		"ship_to-country": {"DE", "FR", "NO", "US"}, "currency": {"EUR", "NOK", "USD"}, "units": {"metric", "inch"}, "time_zone": {"Europe/Berlin", "Europe/Paris"},
	} {
		for _, v := range values {
			p.one(fmt.Sprintf("#setup-%s option[value='%s']", field, v))
		}
	}
}

// step sends a step of the set-up with some fields filled in.
func (s *site) step(p answer, status int, fields ...string) answer {
	s.t.Helper()
	sent := merged(fieldsOf(p.one("#matter form[action='/set-up']")), append([]string{"go", "next"}, fields...)...)
	return s.post("/set-up", sent...).is(status)
}

func merged(fields []string, more ...string) []string {
	for i := 0; i+1 < len(more); i += 2 {
		fields = replaced(fields, more[i], more[i+1])
	}
	return fields
}

// Counts are proposed with the packaging: nothing of it is on the shelf unless it is ticked, a count of her own is kept, and the proposal follows
// the size when she goes back and changes it.
func TestSetUpProposesCounts(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	shelf := s.toShelf()
	field := func(p answer, at, part string) string {
		sent := fieldsOf(p.one("#matter form[action='/set-up']"))
		for i := 0; i < len(sent); i += 2 {
			if sent[i] == "shelf["+at+"]."+part {
				return sent[i+1]
			}
		}
		return ""
	}
	var places []string
	for _, n := range shelf.find(".proposed input[type=checkbox]") {
		at := strings.TrimSuffix(strings.TrimPrefix(attr(n, "name"), "shelf["), "].use")
		places = append(places, at)
		if count := field(shelf, at, "stock"); count == "" || count != field(shelf, at, "offered") {
			t.Errorf("%s is proposed with %q", attr(n, "name"), count)
		}
	}
	if len(places) < 4 || len(shelf.find("input[checked]")) != 0 {
		t.Fatalf("%d are proposed, %d ticked", len(places), len(shelf.find("input[checked]")))
	}
	shelf.has(".proposed p", "one pack each")

	// back to the edition, which becomes larger: what was proposed goes, her own count stays
	first, own := places[0], places[1]
	back := s.step(shelf, 200, "go", "back", "shelf["+own+"].stock", "7")
	again := s.step(back, 200, "width", "24 in", "height", "36 in")
	if v := field(again, own, "stock"); v != "7" {
		t.Errorf("her count became %q", v)
	}
	if v := field(again, first, "stock"); v != "" {
		t.Errorf("what was proposed for another size stays: %q", v)
	}

	ticked := s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), "go", "use")...).is(200)
	if n := len(ticked.find("input[type=checkbox][checked]")); n != len(places) {
		t.Errorf("%d of %d are ticked", n, len(places))
	}
	sent := fieldsOf(shelf.one("#matter form[action='/set-up']"))
	s.leads(s.post("/set-up", merged(sent, "shelf["+first+"].use", "1", "shelf["+own+"].stock", "7", "go", "next")...), "/")
	items, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	var counts []int
	for _, it := range items {
		counts = append(counts, it.Stock)
	}
	slices.Sort(counts)
	pack, _ := strconv.Atoi(field(shelf, first, "stock"))
	if want := []int{7, pack}; !slices.Equal(counts, want) {
		t.Errorf("on the shelf are %v, want %v alone", counts, want)
	}
}
