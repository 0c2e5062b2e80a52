package web

import (
	"strings"
	"testing"

	"solander/pricecards"
)

const renewal = "/studio/cards/renew?id=us-usps-commercial-2025-10-05"

// The next price card in a few minutes: the cells that the parcels used stand there with their old prices; what is typed is
// shown, doubted where it looks like a slip of the pen, and kept; the rest is carried over and says so.
func TestNextPriceCard(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p := s.get(renewal).is(200)
	p.has("#grid header", "no fewer do")
	p.has("#paid", "by step and zone")
	old := attr(p.one("#renew-price-0-"), "value")
	if old == "" || strings.TrimSpace(textOf(p.one("#renew-price-0--hint"))) != "was "+old+", 1 sent" {
		t.Fatalf("the first cell holds %q: %s", old, textOf(p.one("#renew-price-0--hint")))
	}

	a := s.sendForm(p, "#editor", "do", "keep")
	if a.status != 422 {
		t.Errorf("kept without day and source: %d", a.status)
	}
	a.has("#renew-from-wrong", "")
	a.has("#renew-source-wrong", "")
	for bad, says := range map[string]string{"5,1O": "is not", "-1": "", "5.123": ""} {
		if a := s.sendForm(p, "#editor", "from", "2026-04-20", "source", "their page", "price[0]", bad, "do", "show"); a.status != 422 {
			t.Errorf("%q was taken as a price", bad)
		} else {
			a.has("#renew-price-0--wrong", says)
		}
	}
	if a := s.sendForm(p, "#editor", "from", "2026-04-20", "source", "their page", "factor", "40 %%", "do", "show"); a.status != 422 {
		t.Error("40 %% was taken as a factor")
	}

	// A price twice as high is asked back, and kept only when she says that it is so.
	doubled := []string{"from", "2026-04-20", "source", "their page", "factor", "+4.3 %", "price[0]", "39.99"}
	a = s.sendForm(p, "#editor", append(doubled, "do", "show")...).is(200)
	a.has("#made", "1 price typed")
	a.has("#made", "× 1.043")
	a.has("#made li", "of the old price")
	s.sendForm(a, "#editor", "do", "keep").is(422).has("#renew-sure-wrong", "slips of the pen")
	cards, err := pricecards.Cards(s.ctx(), s.studio)
	s.must(err)
	before := len(cards)
	s.leads(s.sendForm(a, "#editor", "sure", "1", "do", "keep"), "/studio?said=card-next").has("#cards", "us-usps-commercial-2026-04-20")
	cards, err = pricecards.Cards(s.ctx(), s.studio)
	s.must(err)
	if len(cards) != before+1 {
		t.Errorf("%d cards, %d before", len(cards), before)
	}
	s.get("/studio/cards/renew?id=us-usps-commercial-2026-04-20").is(200)
	s.get("/studio/cards/renew?id=nothing").is(404)
}
