package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"solander/book"
	"solander/internal/pgtest"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// A form sent again to a program that was started anew meanwhile is not done again, and leads to what the first did.
func TestAFormIsDoneOnceOverAStart(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := saleFields("once", "a-key-drawn-by-chance")
	s.post("/orders", fields...).is(303)
	s.start()
	page := s.leads(s.post("/orders", fields...), "/orders/1?")
	page.has(".said", "S-1001 taken")
	page.has(".said", "sent before; it was done then, and not again")
	if rows := s.get("/orders").find("tbody tr"); len(rows) != 1 {
		t.Errorf("%d orders, want 1", len(rows))
	}
	pay := []string{"once", "another-key", "amount", "10"}
	s.post("/orders/1/pay", pay...).is(303)
	s.start()
	s.leads(s.post("/orders/1/pay", pay...), "/orders/1?").has(".said", "10.00 USD paid")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if len(v.Payments) != 1 {
		t.Errorf("%d payments, want 1", len(v.Payments))
	}
}

// What makes no mark leads back to the page of the form, never to another site.
func TestAFormDoneBeforeLeadsToItsPage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := values("once", "key-of-a-price", "price", "200", "steps", "", "print_cost", "11")
	s.send(formRequest("/editions/1/price", form)).is(303)
	for from, want := range map[string]string{"http://localhost/editions/1": "/editions/1?said=before", "https://elsewhere.example/editions/1": "/?said=before", "": "/?said=before"} {
		s.start()
		r := formRequest("/editions/1/price", form)
		r.Header.Set("Referer", from)
		a := s.send(r)
		if a.status != 303 || !strings.HasPrefix(a.location, want) {
			t.Errorf("from %q it leads to %d %q, want %q", from, a.status, a.location, want)
		}
	}
}

// A page says that nothing was changed only while nothing was written for its request.
func TestNothingWasChangedIsSaidWhereItIsTrue(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, wrote := range []bool{false, true} {
		r := httptest.NewRequest(http.MethodPost, "http://localhost/", nil)
		form := &studio.Form{}
		r = r.WithContext(studio.WithForm(r.Context(), form))
		if wrote {
			s.must(register.Reprice(studio.WithWho(r.Context(), "Ines Corrow"), s.studio, 1, func(p *register.Prices) error {
				p.Price = money.Of(20000, "USD")
				return nil
			}))
		}
		w := httptest.NewRecorder()
		s.face.Fail(w, r, 500, http.ErrBodyNotAllowed)
		if said := strings.Contains(w.Body.String(), "nothing was changed"); said == wrote {
			t.Errorf("written %v, and the page says that nothing was: %v", wrote, said)
		}
	}
}

// The connection ends between COMMIT and its answer: the page says that nobody knows, and sent again from there the
// sale stands in the book once, whether the server had done it or not. Works without JavaScript.
func TestOutcomeUnknownOnThePages(t *testing.T) {
	t.Parallel()
	dsn := pgtest.New(t)
	line := pgtest.NewLine(t, dsn)
	s := siteAt(t, line.DSN)
	s.furnish()
	for i, done := range []bool{true, false} {
		page := s.get("/orders/new")
		line.CutAtCommit(done)
		a := s.sendForm(page, "#matter form", "outlet", "1", "buyer", "Mara Vell", "ship_to.line1", "7 Mill Road", "ship_to.city", "Denver",
			"ship_to.region", "CO", "ship_to.postcode", "80202", "lines[1].edition", "1").is(504)
		a.has("#faults h2", "Not known whether it was done")
		a.has("#faults li", "it is not known whether it stands; look whether it is there")
		if strings.Contains(string(a.body), "nothing was changed") {
			t.Error("it says that nothing was changed")
		}
		a = s.sendForm(a, "form.again").is(503) // the server is still away
		a.has("#faults li", "database server does not answer")
		if a.header.Get("Retry-After") == "" {
			t.Error("nothing says when it may be tried again")
		}
		s.get("/").is(503)
		s.must(line.Mend())
		s.submit(a, "form.again").has("h1", fmt.Sprintf("S-%d", 1001+i))
		orders, err := book.Orders(s.ctx(), s.studio, studio.OrderQuery{State: order.Open}, "")
		s.must(err)
		if len(orders.Rows) != i+1 {
			t.Errorf("done %v: %d orders, want %d", done, len(orders.Rows), i+1)
		}
	}
}
