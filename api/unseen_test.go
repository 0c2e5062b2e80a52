package api

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"solander/book"
	"solander/feed"
)

// writer is a feed with every scope to write and none to read, and how it calls.
func (d *desk) writer() func(sent) answered {
	var scopes []feed.Scope
	for _, s := range feed.Scopes() {
		if strings.HasSuffix(string(s), ":write") {
			scopes = append(scopes, s)
		}
	}
	token := "Bearer " + d.newFeed("every write", scopes...).Token
	return func(s sent) answered { s.token = token; return d.call(s) }
}

// answerText is what one call about an order is answered, without what differs between any two answers.
func answerText(a answered) string {
	a.header.Del("Date")
	return fmt.Sprint(a.code, a.header, a.text)
}

// A feed that writes alone is told nothing of an order that it changes: not by what it changes, not by what it only tries,
// not by its headers, and not whether the order is there.
func TestAWriterLearnsNothing(t *testing.T) {
	d := newDesk(t)
	write := d.writer()
	d.take("A-1")
	d.call(sent{method: "POST", path: "/api/v1/orders/A-1/payments", body: `{"amount": {"minor": 500, "currency": "USD"}}`}).is(201)
	d.take("A-2")
	v, err := book.OrderByMark(d.ctx(), d.studio, "S-1002")
	d.must(err)
	d.must(book.Cancel(d.ctx(), d.studio, book.CancelIn{Order: v.ID, Reason: "only tried"}))
	secrets := []string{"Ada", "Quill", "ada@", "Oak", "Denver", "80202", "Heron", "17/", "9000", "8500", "500", "S-100", "2026", "cancelled", "open"}
	const address = `{"name": "B", "line1": "1", "city": "Bonn", "country": "DE", "postcode": "53113"}`
	for name, try := range map[string]sent{
		"nothing":                {method: "PATCH", path: "/api/v1/orders/%s", match: "*", body: `{}`},
		"nothing, of a state":    {method: "PATCH", path: "/api/v1/orders/%s", match: `"0123456789abcdef01234567"`, body: `{}`},
		"another state":          {method: "PATCH", path: "/api/v1/orders/%s", match: `"0123456789abcdef01234567"`, body: `{"note": "x"}`},
		"no state":               {method: "PATCH", path: "/api/v1/orders/%s", body: `{"note": "x"}`},
		"another currency":       {method: "PATCH", path: "/api/v1/orders/%s", match: "*", body: `{"postage": {"minor": 1, "currency": "EUR"}}`},
		"too much":               {method: "POST", path: "/api/v1/orders/%s/payments", body: `{"amount": {"minor": 900000, "currency": "USD"}}`},
		"too much back":          {method: "POST", path: "/api/v1/orders/%s/payments", body: `{"kind": "refund", "amount": {"minor": 900000, "currency": "USD"}}`},
		"money from elsewhere":   {method: "POST", path: "/api/v1/orders/%s/payments", body: `{"amount": {"minor": 1, "currency": "EUR"}, "worth": {"minor": 1, "currency": "USD"}}`},
		"before it was sold":     {method: "POST", path: "/api/v1/orders/%s/payments", body: `{"amount": {"minor": 1, "currency": "USD"}, "day": "2020-01-01"}`},
		"an address, of a state": {method: "PUT", path: "/api/v1/orders/%s/address", match: `"x"`, body: address},
		"a buyer, of a state":    {method: "PUT", path: "/api/v1/orders/%s/buyer", match: `"x"`, body: `{"name": "B"}`},
		"nobody":                 {method: "PUT", path: "/api/v1/orders/%s/buyer", match: "*", body: `{}`},
		"reading":                {method: "GET", path: "/api/v1/orders/%s"},
	} {
		answers := map[string]string{}
		for _, ref := range []string{"A-1", "A-2", "A-9"} {
			s := try
			s.path, s.key = fmt.Sprintf(try.path, ref), name+ref
			a := write(s)
			if a.code < 400 || a.header.Get("ETag") != "" || a.header.Get("Location") != "" {
				t.Errorf("%s, %s: %d %v", name, ref, a.code, a.header)
			}
			answers[answerText(a)] += ref + " "
			for _, x := range secrets {
				if strings.Contains(a.text, x) && !strings.Contains(try.body+"2026", x) {
					t.Errorf("%s, %s: it tells %q: %s", name, ref, x, a.text)
				}
			}
		}
		if len(answers) != 1 {
			t.Errorf("%s: orders that are there, closed and missing are told apart: %v", name, answers)
		}
	}
	if a := d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).is(200); a.at("/paid/minor") != "500" || a.at("/buyer/name") != "Ada Quill" {
		t.Errorf("trying changed %s", a.text)
	}
}

// What it may do it does, over a real connection, and the answer is empty.
func TestAWriterWrites(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	token := d.newFeed("writes alone", feed.OrdersWrite, feed.PaymentsWrite, feed.BuyersWrite, feed.AddressesWrite).Token
	site := httptest.NewServer(d.handler)
	t.Cleanup(site.Close)
	for n, s := range []sent{
		{method: "PATCH", path: "/api/v1/orders/A-1", match: "*", body: `{"note": "ring twice"}`},
		{method: "PATCH", path: "/api/v1/orders/A-1", match: "*", body: `{"note": "ring twice"}`},
		{method: "PUT", path: "/api/v1/orders/A-1/buyer", match: "*", body: `{"name": "Bo Reed"}`},
		{method: "PUT", path: "/api/v1/orders/A-1/address", match: "*", body: `{"name": "B", "line1": "1", "city": "Bonn", "country": "DE", "postcode": "53113"}`},
		{method: "POST", path: "/api/v1/orders/A-1/payments", body: `{"amount": {"minor": 100, "currency": "USD"}}`},
	} {
		for range 2 { // the second is the same request under the same key
			r, err := http.NewRequest(s.method, site.URL+s.path, strings.NewReader(s.body))
			d.must(err)
			r.Header = http.Header{"Authorization": {"Bearer " + token}, "Content-Type": {"application/json"}, "Idempotency-Key": {fmt.Sprint("w-", n)}}
			if s.match != "" {
				r.Header.Set("If-Match", s.match)
			}
			got, err := site.Client().Do(r)
			d.must(err)
			got.Body.Close()
			if got.StatusCode != 204 || got.ContentLength > 0 || got.Header.Get("ETag") != "" || got.Header.Get("Location") != "" {
				t.Errorf("%s %s: %d %v", s.method, s.path, got.StatusCode, got.Header)
			}
		}
	}
	d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).is(200).has("/note", "ring twice").has("/buyer/name", "Bo Reed").has("/ship_to/city", "Bonn").has("/paid/minor", "100")
	write := d.writer()
	a := write(sent{method: "POST", path: "/api/v1/orders", body: sale("A-5", heron)}).is(201).has("/lines/0/number", "2/250").has("/buyer/name", "Ada Quill")
	if a.header.Get("ETag") != "" {
		t.Errorf("it is told the order's state: %v", a.header)
	}
	write(sent{method: "POST", path: "/api/v1/orders", body: saleAbroad("A-6", `{"currency": "EUR", "minor": 7200}`, "")}).is(201).has("/agreed/owed/minor", "7200")
	write(sent{method: "POST", path: "/api/v1/orders/A-6/payments", body: `{"amount": {"minor": 3600, "currency": "EUR"}, "worth": {"minor": 4400, "currency": "USD"}}`}).is(204)
	d.call(sent{method: "GET", path: "/api/v1/orders/A-6"}).is(200).has("/agreed/paid/minor", "3600").has("/owed/minor", "4500")
	again := write(sent{method: "POST", path: "/api/v1/orders", body: sale("A-1", heron)}).problem(409, "taken")
	if strings.Contains(again.text, "S-100") {
		t.Errorf("it is told whose the reference is: %s", again.text)
	}
}

// A change of nothing is refused for every feed alike.
func TestAnEmptyChangeIsRefused(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	for _, body := range []string{`{}`, `{"note": null}`} {
		d.call(sent{method: "PATCH", path: "/api/v1/orders/A-1", match: "*", body: body}).problem(422, "invalid")
	}
}
