package web

import (
	"strings"
	"testing"

	"solander/dispatch"
	"solander/labelling"
	"solander/money"
	"solander/pricecards"
	"solander/register"
)

// When what was paid is off, the bench says so once, with the page that mends it; a card of the right prices ends it.
func TestBenchTellsADrift(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for n := range 5 {
		if n == 4 && len(s.get("/").find(".drift")) > 0 {
			t.Error("told by four parcels")
		}
		v := s.sale(1, 9000)
		s.must(register.Sign(s.ctx(), s.studio, []int64{v.Live()[0].ID}))
		parcels, err := dispatch.Pack(s.ctx(), s.studio, dispatch.PackIn{Order: v.ID})
		s.must(err)
		paid := money.Of(parcels[0].Estimated.Minor*11/10, "USD")
		s.must(labelling.Label(s.ctx(), s.studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: paid}))
		_, err = dispatch.HandOver(s.ctx(), s.studio, dispatch.HandOverIn{Parcels: []int64{parcels[0].ID}})
		s.must(err)
	}
	bench := s.get("/")
	told := bench.one(".drift")
	if text := textOf(told); !strings.Contains(text, "more than its card says, by 5 parcels") {
		t.Errorf("the bench says %q", text)
	}
	p := s.get(attr(bench.one(".drift a"), "href")).is(200)
	if got := attr(p.one("#renew-factor"), "value"); got != "" {
		t.Errorf("the factor is %q", got)
	}
	s.leads(s.sendForm(p, "#editor", "from", "2026-04-14", "source", "their page", "do", "keep"), "/studio?said=card-next")
	if len(s.get("/").find(".drift")) > 0 {
		t.Error("told although a card of today's prices holds")
	}
}

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

// Two cards stand side by side: what differs in words, each price with its step, zone and ratio; many are folded.
// Source of the differences: the peak card is the plain one with published temporary amounts on top.
func TestTwoCardsCompared(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get("/studio").is(200)
	s.get(attr(p.one(`#cards header a[href="/studio/cards/diff"]`), "href")).is(200).has("main form", "Compare them")
	p = s.get("/studio/cards/diff?a=us-usps-retail-2025-07-13&b=us-usps-retail-2025-10-05").is(200)
	p.has("#head", "first day: 2025-07-13 → 2025-10-05")
	p.has("main section.broad details summary", "666 prices")
	row := textOf(p.find("main section.broad details tbody tr")[0])
	for _, want := range []string{"4 oz", "6.80 USD", "7.20 USD", "× 1.059"} {
		if !strings.Contains(row, want) {
			t.Errorf("the first price says %q, not %q", row, want)
		}
	}
	s.get("/studio/cards/diff").is(200).hasNot("main section")
	s.get("/studio/cards/diff?a=&b=us-usps-retail-2025-10-05").is(200).has("#head", "2025-07-13")
	whole := s.get("/studio/cards/diff?a=us-usps-retail-2025-07-13&b=us-usps-retail-2025-10-05&service=ground-retail").is(200)
	if rows, cells := len(whole.find("main tbody tr")), len(whole.find("main tbody li")); rows != 74 || cells != 666 { // 4 oz to 12 oz, 1 to 70 lb; 9 zones
		t.Errorf("all of a service: %d rows with %d prices", rows, cells)
	}
	s.get("/studio/cards/diff?a=us-usps-retail-2025-10-05&b=us-usps-retail-2025-10-05").is(200).has("#same", "say the same")
	if a := s.get("/studio/cards/diff?a=none&b=us-usps-retail-2025-10-05"); a.status != 404 {
		t.Errorf("an unknown card: %d", a.status)
	}
}
