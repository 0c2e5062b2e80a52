package web

import (
	"bytes"
	"fmt"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/html"

	"solander/book"
	"solander/order"
)

// saleFields is a sale as the form sends it.
func saleFields(more ...string) []string {
	return append([]string{
		"outlet", "1", "ref", "", "placed", "2026-04-14", "promised", "", "arrive_by", "", "buyer_id", "",
		"buyer", "Mara Vell", "email", "mara@example.org", "phone", "",
		"ship_to.name", "", "ship_to.line1", "7 Mill Road", "ship_to.line2", "", "ship_to.city", "Denver", "ship_to.region", "CO", "ship_to.postcode", "80202", "ship_to.country", "US",
		"lines[0].edition", "1", "lines[0].number", "17", "lines[0].price", "",
		"lines[1].edition", "", "lines[1].number", "", "lines[1].price", "",
		"postage", "", "tax", "", "paid", "", "paid_worth", "", "paid_note", "", "note", "", "gift_message", "",
	}, more...)
}

// with returns fields with one changed.
func replaced(fields []string, name, value string) []string {
	out := append([]string(nil), fields...)
	for i := 0; i+1 < len(out); i += 2 {
		if out[i] == name {
			out[i+1] = value
			return out
		}
	}
	return append(out, name, value)
}

// One sale goes from intake to hand-over by forms alone, as a browser without JavaScript sends them: each
// step is taken from the page that the step before led to.
func TestOneSaleFromIntakeToHandOver(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.leads(s.post("/orders", saleFields()...), "/orders/S-1001")
	p.has(".said", "stands in the book")
	p.has(".no", "17/250")
	p.has(".way [aria-current]", "awaits money")
	p.has("#matter", "a sheet is set aside for it once something is paid")

	bench := s.get("/").is(200)
	bench.has("#money .what", "owes 90.00 USD of 90.00 USD")
	s.submit(bench, "#money form", "amount", "40.00") // a deposit first
	bench = s.get("/")
	bench.has("#money .what", "owes 50.00 USD of 90.00 USD")
	bench = s.submit(bench, "#money form")
	bench.has(".said", "paid")
	bench.hasNot("#money .task")

	bench.has("#sign .no", "17/250")
	bench.has("#sign .what", "Heron at dusk, 12 × 16 in")
	bench = s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value"))
	bench.has(".said", "17/250")
	bench.has("#pack .task", "stiff envelope")

	bench = s.submit(bench, "#pack form")
	bench.hasNot("#pack .task")
	bench.has("#label .task", "S-1001")

	bench = s.submit(bench, "#label form", "paid", "6.25", "tracking", "")
	bench.has("#hand-over .task", "S-1001")

	bench = s.submit(bench, "#hand-over form")
	bench.has(".said", "handed over")
	bench.hasNot(".task")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed || !v.Views[0].Sent || v.Views[0].Standing.State != "sent" {
		t.Errorf("the order is %s, its number %s", v.State, v.Views[0].Standing.State)
	}
	s.get("/orders/S-1001").has(".way [aria-current]", "done")
	s.get("/search?q=17%2F250+heron").has("td", "Mara Vell")
	s.get("/editions/1/numbers/17").has("strong", "sent")
	s.get("/hand-overs/1").has("td", "6.25 USD")
	s.get("/hand-overs/1").has("td[data-head='Service']", "USPS ") // the name, not the key of the card
	s.get("/").has(".marks .what", "labelled, USPS ")
}

// submit sends a form of a page as a browser would: with its hidden and filled fields, its ticked boxes,
// and the given ones instead of theirs. It returns the page that the answer leads to.
func (s *site) submit(p answer, selector string, fields ...string) answer {
	s.t.Helper()
	return s.leads(s.sendForm(p, selector, fields...), "/")
}

// sendForm is submit, whatever the answer.
func (s *site) sendForm(p answer, selector string, fields ...string) answer {
	s.t.Helper()
	forms := p.find(selector)
	if len(forms) == 0 {
		s.t.Fatalf("there is no %s in %.2000s", selector, textOf(p.root))
	}
	fm := forms[0]
	sent := fieldsOf(fm)
	for i := 0; i+1 < len(fields); i += 2 {
		sent = replaced(sent, fields[i], fields[i+1])
	}
	return s.post(attr(fm, "action"), sent...)
}

func fieldsOf(fm *html.Node) []string {
	var out []string
	for n := range fm.Descendants() {
		name := attr(n, "name")
		if name == "" {
			continue
		}
		switch n.Data {
		case "input":
			if attr(n, "type") == "checkbox" && !matches(n, "[checked]") {
				continue
			}
			out = append(out, name, attr(n, "value"))
		case "textarea":
			out = append(out, name, textOf(n))
		case "select":
			for o := range n.Descendants() {
				if o.Data == "option" && matches(o, "[selected]") {
					out = append(out, name, attr(o, "value"))
				}
			}
		}
	}
	return out
}

// Every mark of the bench can be undone by the button that stands beside what was said, back to the start.
func TestEveryMarkCanBeUndone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 0)
	steps := []struct{ group, form string }{{"money", "#money form"}, {"sign", "#sign form"}, {"pack", "#pack form"}, {"label", "#label form"}, {"hand-over", "#hand-over form"}}
	bench := s.get("/")
	var said []answer
	for _, st := range steps {
		bench.has("#"+st.group+" li", "S-1001")
		var more []string
		switch st.group {
		case "sign":
			more = []string{"lines", attr(bench.one("#sign input[type=checkbox]"), "value")}
		case "label":
			more = []string{"paid", "5.90"}
		}
		bench = s.submit(bench, st.form, more...)
		said = append(said, bench)
	}
	for i := len(steps) - 1; i >= 0; i-- {
		after := s.submit(said[i], ".said form")
		after.has(".said", "taken back")
		after.has("#"+steps[i].group+" li", "S-1001")
	}
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.Stage != order.AwaitsMoney || !v.Paid.IsZero() || v.Views[0].Signed || len(v.Parcels) != 0 {
		t.Errorf("not back at the start: stage %s, paid %s", v.Stage, v.Paid)
	}
	moves := s.get("/drawer/1")
	moves.has("dd", "10 sheets")
}

// An undo that something was built on is refused, and says what.
func TestUndoOfWhatLaterStandsOn(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 9000)
	bench := s.submit(s.get("/"), "#sign form", "lines", "1")
	undo := attr(bench.one(".said form"), "action")
	s.submit(bench, "#pack form")
	s.post(undo).is(409).has("#faults", "undo the packing first")
	if v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001"); err != nil || !v.Views[0].Signed {
		t.Errorf("the signature is gone: %v", err)
	}
}

// A double click, and a reload after it, take one sale into the book, even side by side.
func TestTheSameFormTwiceMakesOneOrder(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	key := attr(s.get("/orders/new").one("#matter form input[name=once]"), "value")
	if len(key) < 20 {
		t.Fatalf("the key %q can be guessed", key)
	}
	fields := saleFields("once", key)
	var wait sync.WaitGroup
	to := make([]string, 8)
	for i := range to {
		wait.Go(func() { to[i] = s.post("/orders", fields...).location })
	}
	wait.Wait()
	for _, l := range to {
		if !strings.HasPrefix(l, "/orders/S-1001") {
			t.Errorf("led to %q", l)
		}
	}
	s.get("/orders").has("tbody th", "S-1001")
	if rows := s.get("/orders").find("tbody tr"); len(rows) != 1 {
		t.Errorf("%d orders", len(rows))
	}
	// With other words under the same key it is not done unasked: the page says what the first did, and asks once.
	other := replaced(replaced(fields, "lines[0].number", "18"), "buyer", "Otto Brand")
	asked := s.post("/orders", other...).is(409)
	asked.has("#faults", "sent before with other words")
	asked.has("#faults", "S-1001 taken")
	s.submit(asked, "#matter form").has("h1", "S-1002")
}

// A form that failed may be sent again with the same key.
func TestAFailedFormIsNotRemembered(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := saleFields("once", "the-same-key")
	bad := replaced(fields, "lines[0].number", "999")
	s.post("/orders", bad...).is(422)
	s.post("/orders", bad...).is(422)
	s.leads(s.post("/orders", fields...), "/orders/S-1001")
}

func TestASaleKeepsWhatWasTyped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.post("/orders", replaced(replaced(saleFields(), "ship_to.country", "ZQ"), "note", "ring twice\nand wait")...).is(422)
	a.has("#faults a[href='#sale-ship_to-country']", "Country")
	field := a.one("#sale-ship_to-country")
	if attr(field, "value") != "ZQ" || attr(field, "aria-invalid") != "true" || !strings.Contains(attr(field, "aria-describedby"), "sale-ship_to-country-wrong") {
		t.Errorf("the field is %v", field.Attr)
	}
	a.has("#sale-ship_to-country-wrong", "is not a country")
	a.has("#sale-note", "ring twice")
	if attr(a.one("#sale-buyer"), "value") != "Mara Vell" {
		t.Error("the buyer's name is gone")
	}
	a.has("title", "Not done")
}

// A doubtful address is taken as typed, and told on the order's page and on the bench.
func TestADoubtfulAddressIsTold(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.post("/orders", replaced(saleFields(), "ship_to.region", "VA")...).is(303)
	p := s.get("/orders/S-1001").is(200)
	p.has(".doubts li", "80202 begins like a postcode of CO, and the address says VA")
	p.has("address", "Denver VA 80202")
	s.get("/").is(200).has(".doubt", "begins like a postcode of CO")
	s.post("/orders/1/address", "ship_to.name", "Mara Vell", "ship_to.line1", "7 Mill Road", "ship_to.line2", "", "ship_to.city", "Denver",
		"ship_to.region", "CO", "ship_to.postcode", "80202", "ship_to.country", "US").is(303)
	s.get("/orders/S-1001").hasNot(".doubts")
}

// All that the form alone shows to be wrong is told at once, each field once.
func TestAllFaultsAtOnce(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := replaced(replaced(replaced(saleFields(), "buyer", ""), "ship_to.country", "ZQ"), "postage", "five")
	a := s.post("/orders", fields...).is(422)
	for _, id := range []string{"sale-buyer", "sale-ship_to-country", "sale-postage"} {
		if n := len(a.find("#faults a[href=#" + id + "]")); n != 1 {
			t.Errorf("%d faults lead to %s", n, id)
		}
	}
}

func TestAnotherRowKeepsTheSale(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.post("/orders", saleFields("more", "1")...).is(200)
	if n := len(a.find(".prints")); n != 4 {
		t.Errorf("%d rows", n)
	}
	if v := attr(a.one("#sale-lines-0--number"), "value"); v != "17" {
		t.Errorf("the number typed is %q", v)
	}
	a.hasNot("#faults")
	if rows := s.get("/orders").find("tbody tr"); len(rows) != 0 {
		t.Error("asking for a row took the sale")
	}
}

// A fault in the third row stands in a row with the same contents, although an empty row was skipped.
func TestAFaultStandsInItsRow(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := replaced(saleFields(), "lines[1].edition", "")
	fields = append(fields, "lines[2].edition", "2", "lines[2].number", "9", "lines[2].price", "")
	a := s.post("/orders", fields...).is(422)
	a.has("#sale-lines-1--number-wrong", "beyond the limit")
	if v := attr(a.one("#sale-lines-1--number"), "value"); v != "9" {
		t.Errorf("the row holds %q", v)
	}
}

func TestPapersArePDF(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	v := s.sale(1, 9000)
	bench := s.submit(s.get("/"), "#sign form", "lines", "1")
	paths := []string{"/papers/bench.pdf", "/papers/bench.pdf?day=2026-04-20", "/papers/sign.pdf", fmt.Sprintf("/papers/slip/%d.pdf", v.ID), fmt.Sprintf("/papers/wrap/%d.pdf", v.ID)}
	bench = s.submit(bench, "#pack form")
	bench = s.submit(bench, "#label form", "paid", "6.25")
	paths = append(paths, "/papers/label/1.pdf", fmt.Sprintf("/papers/wrap/%d.pdf?part=1", v.ID))
	s.submit(bench, "#hand-over form")
	paths = append(paths, "/papers/hand-over/1.pdf")
	for _, path := range paths {
		a := s.get(path).is(200)
		if a.header.Get("Content-Type") != "application/pdf" || !bytes.HasPrefix(a.body, []byte("%PDF-")) || !bytes.Contains(a.body[len(a.body)-16:], []byte("%%EOF")) {
			t.Errorf("%s is no PDF: %.60q", path, a.body)
		}
	}
	for _, path := range []string{fmt.Sprintf("/papers/wrap/%d.pdf?part=2", v.ID), "/papers/nothing.pdf", "/papers/bench", "/papers/nothing/1.pdf", "/papers/slip/x.pdf"} {
		s.get(path).is(404).has(".faults", "")
	}
}
