package web

import (
	"bytes"
	"net/url"
	"strings"
	"testing"
)

// What the search field gives as its example is found, word for word, in whatever studio it stands; in an empty one
// it promises nothing.
func TestTheSearchFindsItsOwnExample(t *testing.T) {
	t.Parallel()
	demo := pictured(t)
	for name, s := range map[string]*site{
		"demo":  {t: t, studio: demo, handler: New(demo, Options{Demo: true}), log: &bytes.Buffer{}},
		"tests": newSite(t),
	} {
		example := attr(s.get("/").one("#look"), "placeholder")
		found := s.get("/search?q=" + url.QueryEscape(example)).is(200)
		if len(found.find("[data-head=Edition]")) == 0 {
			t.Errorf("%s: %q finds no number: %.400s", name, example, shown(found.root))
		}
		for _, q := range []string{"17", "number 17", "#17", "no. 17"} {
			if n := len(s.get("/search?q=" + url.QueryEscape(q)).is(200).find("[data-head=Edition]")); n < 1 || name == "demo" && n < 15 {
				t.Errorf("%s: %q finds %d numbers", name, q, n)
			}
		}
	}
	// Of the invented studio, what a title with its limit promises is there, too, and stands above all else that is found.
	found := (&site{t: t, studio: demo, handler: New(demo, Options{Demo: true}), log: &bytes.Buffer{}}).get("/search?q=" + url.QueryEscape("number 17 of 500 of the heron")).is(200)
	found.has("[data-head=Number]", "17/500")
	found.has("[data-head=Edition]", "Heron at dusk")
	if heads := found.find("#matter h2"); len(heads) == 0 || !strings.HasPrefix(textOf(heads[0]), "Numbers") {
		t.Errorf("numbers do not come first: %.400s", shown(found.root))
	}
	s := emptySite(t)
	s.leads(s.post("/set-up", merged(fieldsOf(s.step(s.step(s.step(s.get("/set-up"), 200, "studio", "Weir", "artist", "Ines Corrow", "ship_to.name", "Weir", "ship_to.line1", "4 Marsh Lane", "ship_to.city", "Roanoke", "ship_to.region", "VA", "ship_to.postcode", "24011"), 200), 200).one("#matter form[action='/set-up']")), "go", "next")...), "/")
	for _, path := range []string{"/", "/help", "/search", "/search?q=nobody"} {
		p := s.get(path).is(200)
		if example := attr(p.one("#look"), "placeholder"); example != "a title, a name or a number" {
			t.Errorf("%s: an empty studio is said to hold %q", path, example)
		}
		if bytes.Contains(p.body, []byte("heron")) {
			t.Errorf("%s promises a heron", path)
		}
	}
	s.post("/works", "title", "Low tide", "year", "", "note", "").is(303)
	p := s.get("/")
	s.get("/search?q="+url.QueryEscape(attr(p.one("#look"), "placeholder"))).has("#matter", "Low tide")
}
