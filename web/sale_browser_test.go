package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"solander/book"
	"solander/internal/browsertest"
	"solander/web/page"
)

// A buyer of the book is offered while her name is typed, taken with her address by a key, and number, price and what it costs to send stand there
// before the sale is saved.
func TestAKnownBuyerIsOfferedAsSheTypes(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/orders", saleFields()...), "/orders/S-1001")
	p, base := s.open()
	p.Go(base + "/orders/new")
	p.Click("#sale-buyer")
	p.Type("m")
	p.Type("ar")
	waitFor(t, p, ".offers", "It is Mara Vell")
	waitFor(t, p, ".offers", "7 Mill Road")
	p.MustBeAccessible()
	p.Type("nobody of this name")
	if !browsertest.Eval[bool](p, `new Promise(r => { let n = 0; const look = () => document.querySelectorAll(".offers button").length === 0 ? r(true) : ++n > 200 ? r(false) : setTimeout(look, 50); look() })`) {
		t.Errorf("for a name that nobody has stands %q", p.Text(".offers"))
	}
	browsertest.Eval[bool](p, `document.querySelector("#sale-buyer").value = "", true`)
	p.Type("vell")
	waitFor(t, p, ".offers", "It is Mara Vell")
	if status := p.ClickTo(".offers button"); status != 200 {
		t.Fatalf("status %d", status)
	}
	if v := browsertest.Eval[string](p, `document.querySelector("#sale-ship_to-line1").value`); v != "7 Mill Road" {
		t.Errorf("her street is %q", v)
	}
	choose(p, "#sale-lines-0--edition", "Heron")
	if status := p.ClickTo("button[name=look]"); status != 200 {
		t.Fatalf("status %d", status)
	}
	for _, want := range []string{"1/250", "90.00 USD", "Costs to send"} {
		if text := p.Text("#comes"); !strings.Contains(text, want) {
			t.Errorf("before it is saved stands %q, not %q", text, want)
		}
	}
	if n := len(s.orders()); n != 1 {
		t.Fatalf("%d orders stand: looking made one", n)
	}
	choose(p, "#sale-outlet", "Own shop")
	if status := p.ClickTo("form.newsale button.main"); status != 200 {
		t.Fatalf("status %d at %s", status, p.URL())
	}
	first, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	second, err := book.OrderByMark(s.ctx(), s.studio, "S-1002")
	s.must(err)
	if second.Buyer != first.Buyer || second.Views[0].Label != "1/250" {
		t.Errorf("it is of buyer %d, %s; she is %d", second.Buyer, second.Views[0].Label, first.Buyer)
	}
	if said := p.Messages(); len(said) > 0 {
		t.Errorf("the browser complains: %v", said)
	}
}

// Without a script the button looks in the book, and the same buyer is taken by the same button.
func TestAKnownBuyerWithoutScript(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/orders", saleFields()...), "/orders/S-1001")
	p, base := s.open()
	p.Script(false)
	p.Go(base + "/orders/new")
	p.Fill("#sale-buyer", "mara")
	if status := p.ClickTo("button[name=find]"); status != 200 {
		t.Fatalf("status %d", status)
	}
	if status := p.ClickTo(".offers button[name=known]"); status != 200 {
		t.Fatalf("status %d", status)
	}
	p.Script(true) // what looks at the page needs it
	if v := browsertest.Eval[string](p, `document.querySelector("#sale-ship_to-line1").value`); v != "7 Mill Road" {
		t.Errorf("her street is %q", v)
	}
}

// What a sale comes to is told in time, however long the cheapest parcel would be searched for: number and price stand there, and what is said
// of sending it is the best that was found by then.
func TestTheQuoteStopsInTime(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := replaced(saleFields(), "look", "1")
	for i := range 12 {
		fields = replaced(replaced(replaced(fields, fmt.Sprintf("lines[%d].edition", i), "1"), fmt.Sprintf("lines[%d].number", i), ""), fmt.Sprintf("lines[%d].price", i), "")
	}
	took := func(moment time.Duration) (answer, time.Duration) {
		s.handler = newFace(s.studio, Options{Patience: page.Patience{Moment: moment}}).handler()
		begun := time.Now()
		return s.post("/orders", fields...).is(200), time.Since(begun)
	}
	short, brief := took(time.Nanosecond)
	if most := 30 * time.Second; brief > most {
		t.Errorf("with no time to search it took %s", brief)
	}
	long, _ := took(50 * time.Second)
	for what, p := range map[string]answer{"stopped at once": short, "searched to the end": long} {
		for n := range 12 {
			p.has("#comes .fig", fmt.Sprintf("%d/250", n+1))
		}
		p.has("#comes", "1080.00 USD")
		p.has("#comes dt", "Costs to send")
		if text := textOf(p.one("#comes")); strings.Contains(text, "cannot be sent") {
			t.Errorf("%s, it says %q", what, text)
		}
	}
	short.has("#comes", "No way was found in a moment")
	if text := textOf(long.one("#comes")); strings.Contains(text, "in a moment") || !strings.Contains(text, "by USPS") {
		t.Errorf("searched to the end, it says %q", text)
	}
	if n := len(s.orders()); n != 0 {
		t.Errorf("%d orders were made by looking", n)
	}
}
