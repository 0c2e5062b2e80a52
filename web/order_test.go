package web

import (
	"strings"
	"testing"

	"solander/book"
	"solander/order"
)

// What an order waits for stands at the top of its page, as one deed: an order is brought from the money to the hand-over
// by that deed alone, and its way tells what lies behind it.
func TestTheNextDeedBringsAnOrderHome(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.leads(s.post("/orders", saleFields()...), "/orders/S-1001")
	p.has(".next", "90.00 USD of 90.00 USD is owed")
	p.hasNot(".way .done")

	p = s.submit(p, ".next form")
	p.has(".way .done", "paid")
	p.has(".next", "1 print to sign")

	p = s.submit(p, ".next form")
	p.has(".way .done", "signed")
	p.has(".next strong", "USD") // what packing and postage cost
	p.has("#plan .three", "postage")

	p = s.submit(p, ".next form")
	p.has(".way [aria-current]", "to label")

	p = s.submit(p, ".next form", "paid", "6.25")
	p.has(".next", "it may go out today")

	p = s.submit(p, ".next form")
	p.has(".way [aria-current]", "done")
	p.hasNot(".next")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed {
		t.Errorf("the order is %s", v.State)
	}

	// The buyer's other orders stand beside, the order itself does not.
	s.leads(s.post("/orders", replaced(saleFields(), "lines[0].number", "18")...), "/orders/S-1002")
	p = s.get("/orders/S-1002")
	p.has(".others", "S-1001")
	for _, n := range p.find(".others li") {
		if strings.Contains(textOf(n), "S-1002") {
			t.Error("an order stands beside itself")
		}
	}
}

// What is too large for the parcel at any price does not stand under what looks cheaper.
func TestWhatIsTooLargeLooksLikeNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/orders", replaced(saleFields(), "paid", "90.00")...), "/orders/S-1001")
	p := s.get("/orders/S-1001").is(200)
	seen := 0
	for _, d := range p.find("#plan details") {
		text := textOf(d)
		cheaper := strings.Contains(text, "What looks cheaper")
		for _, rule := range []string{"envelope.length", "carton.length", "tube.diameter", "limit.length"} {
			if strings.Contains(text, rule) {
				if seen++; cheaper {
					t.Errorf("%s stands under what looks cheaper", rule)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("nothing is too large: nothing was tested")
	}
}
