package web

import (
	"strings"
	"testing"
)

// Letters that the papers' type lacks are told where they were typed and where the sale stands; the sale is taken.
func TestLettersThatCannotBePrinted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	sent := replaced(replaced(replaced(saleFields(), "buyer", "অমল Hanako"), "gift_message", "አማርኛ"), "paid", "90")
	a := s.post("/orders", sent...)
	p := s.get(a.location).is(200)
	p.has(".said", "stands in the book")
	p.has(".said", "no letters for")
	p.has(".doubts", "অমল (Bengali)")
	p.has(".doubts", "(Ethiopic)")
	p.has("#ship-ship_to-name-letters", "অমল (Bengali)")
	slip := s.get("/papers/slip/1.pdf")
	if slip.status != 409 || !strings.Contains(string(slip.body), "অমল (Bengali)") || !strings.Contains(string(slip.body), "Latin letters") {
		t.Errorf("the slip answers %d", slip.status)
	}
	bench := s.get("/") // the sheet is signed first; then the parcel is spoken of
	s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value")).has(".doubt", "অমল (Bengali)")

	// Beside the field while a form is still wrong, and after a work is saved under such a title.
	wrong := s.post("/orders", replaced(sent, "placed", "yesterday")...).is(422)
	wrong.has("#sale-buyer-letters", "অমল (Bengali)")
	wrong.has("#sale-gift_message-letters", "(Ethiopic)")
	saved := s.post("/works", "title", "বক", "year", "", "note", "অ")
	saved = s.get(saved.location)
	saved.has(".said", "কব (Bengali)")
	if strings.Contains(textOf(saved.one(".said")), "অ") {
		t.Error("a note, which nobody prints, is flagged")
	}
	s.get("/works/3").has("#work-title-letters", "কব (Bengali)")
	s.get("/works/3").hasNot("#work-note-letters")

	// What can be printed is not flagged, and no link puts words into the page.
	s.get("/orders/new").hasNot(".doubt")
	fine := s.get("/works/1?said=work&lacks=buy+now").is(200)
	if strings.Contains(textOf(fine.one(".said")), "buy now") || strings.Contains(textOf(fine.one(".said")), "letters") {
		t.Error("a link put words into the page")
	}
}
