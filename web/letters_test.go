package web

import (
	"strings"
	"testing"
)

// Letters that the papers' type lacks are told where they were typed and where the sale stands; the sale is taken.
func TestLettersThatCannotBePrinted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	sent := replaced(replaced(replaced(saleFields(), "buyer", "山田 Hanako"), "gift_message", "おめでとう"), "paid", "90")
	a := s.post("/orders", sent...)
	p := s.get(a.location).is(200)
	p.has(".said", "stands in the book")
	p.has(".said", "no letters for")
	p.has(".doubts", "山田 (Han)")
	p.has(".doubts", "(Hiragana)")
	p.has("#ship-ship_to-name-letters", "山田 (Han)")
	slip := s.get("/papers/slip/1.pdf")
	if slip.status != 409 || !strings.Contains(string(slip.body), "山田 (Han)") || !strings.Contains(string(slip.body), "Latin letters") {
		t.Errorf("the slip answers %d", slip.status)
	}
	bench := s.get("/") // the sheet is signed first; then the parcel is spoken of
	s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value")).has(".doubt", "山田 (Han)")

	// Beside the field while a form is still wrong, and after a work is saved under such a title.
	wrong := s.post("/orders", replaced(sent, "placed", "yesterday")...).is(422)
	wrong.has("#sale-buyer-letters", "山田 (Han)")
	wrong.has("#sale-gift_message-letters", "(Hiragana)")
	saved := s.post("/works", "title", "鷺", "year", "", "note", "東")
	saved = s.get(saved.location)
	saved.has(".said", "鷺 (Han)")
	if strings.Contains(textOf(saved.one(".said")), "東") {
		t.Error("a note, which nobody prints, is flagged")
	}
	s.get("/works/3").has("#work-title-letters", "鷺 (Han)")
	s.get("/works/3").hasNot("#work-note-letters")

	// What can be printed is not flagged, and no link puts words into the page.
	s.get("/orders/new").hasNot(".doubt")
	fine := s.get("/works/1?said=work&lacks=buy+now").is(200)
	if strings.Contains(textOf(fine.one(".said")), "buy now") || strings.Contains(textOf(fine.one(".said")), "letters") {
		t.Error("a link put words into the page")
	}
}
