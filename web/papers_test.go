package web

import (
	"strings"
	"testing"

	"solander/internal/testpdf"
	"solander/register"
)

// The papers of a day come from the bench, each kind as one file; labels on stickers too, from the first free place on.
func TestPapersOfTheDay(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.run(1, 20)
	s.sale(1, 9000)
	s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{1, 2}))
	bench := s.get("/").is(200)
	bench.has("#pack #papers-of-the-day", "In packing order")
	pages := map[string]int{}
	for _, a := range bench.find("#papers-of-the-day a") {
		if !strings.HasSuffix(attr(a, "href"), ".pdf") {
			continue
		}
		file := s.get(attr(a, "href")).is(200)
		if !strings.HasPrefix(string(file.body), "%PDF-") {
			t.Fatalf("%s is no PDF", attr(a, "href"))
		}
		pages[attr(a, "href")] = len(testpdf.Pages(t, file.body))
	}
	if pages["/papers/day/slips.pdf"] != 2 || pages["/papers/day/labels.pdf"] != 2 || pages["/papers/day/everything.pdf"] != pages["/papers/day/wraps.pdf"]+4 {
		t.Errorf("%v", pages)
	}
	p := s.get("/papers/stickers?size=4x2in&first=3").is(200)
	p.has("#sheet", "4 × 2 in, 2 × 5 on letter")
	if text := testpdf.Text(t, s.get(attr(p.one("#sheet a.button"), "href")).is(200).body); strings.Count(text, "this is not postage") != 2 {
		t.Errorf("the stickers say %s", text)
	}
	s.get("/papers/day/nothing.pdf").is(422)
	s.get("/papers/day/slips").is(404)
}

// A sheet of stickers larger than its paper is refused beside the field that makes it so; so is what is no number.
func TestStickersThatCannotBe(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	ask := "/papers/stickers?size=stated&paper=letter&rows=5&width=4&height=2&left=5/32&top=1/2&across=4+3/16&down=2&first=1&columns="
	s.get(ask+"2").is(200).has("#sheet", "2 × 5 on letter")
	p := s.get(ask + "3").is(409)
	p.has("#stickers-columns-wrong", "larger than its paper")
	p.hasNot("#sheet")
	p.has("details[open]", "Columns")
	s.get(ask + "some").is(422).one("#stickers-columns-wrong")
	s.get("/papers/stickers?size=4x2in&first=11").is(422).has("#stickers-first-wrong", "places 1 to 10")
	s.get("/papers/stickers?size=huge").is(422).one("#stickers-size-wrong")
	if a := s.get("/papers/stickers.pdf?size=4x2in&first=1"); a.status != 409 || !strings.Contains(string(a.body), "nothing is to be packed") {
		t.Errorf("stickers of a day without parcels: %d", a.status)
	}
}
