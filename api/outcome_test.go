package api

import (
	"net/http"
	"strconv"
	"testing"

	"solander/book"
	"solander/internal/pgtest"
	"solander/order"
	"solander/studio"
)

// The connection ends between COMMIT and its answer: the caller is told that nobody knows, and the same call under
// the same key is done once, whether the server had done it or not.
func TestOutcomeUnknownToACaller(t *testing.T) {
	line := pgtest.NewLine(t, pgtest.New(t))
	d := deskAt(t, line.DSN)
	for i, done := range []bool{true, false} {
		take := sent{method: "POST", path: "/api/v1/orders", body: sale([]string{"A", "B"}[i], heron), key: freshKey()}
		line.CutAtCommit(done)
		d.call(take).problem(504, "unsure")
		d.must(line.Mend())
		d.call(take).is(201)
		page, err := book.Orders(d.ctx(), d.studio, studio.OrderQuery{State: order.Open}, "")
		d.must(err)
		if len(page.Rows) != i+1 {
			t.Errorf("done %v: %d orders, want %d", done, len(page.Rows), i+1)
		}
	}
}

// While the server is away every call is 503 with Retry-After, also where only the token or the secret is looked up;
// none is 401 or 500. It comes back by itself.
func TestServerAwayToACaller(t *testing.T) {
	line := pgtest.NewLine(t, pgtest.New(t))
	d := deskAt(t, line.DSN)
	d.take("A")
	calls := []sent{
		{method: "GET", path: "/api/v1/editions"},
		{method: "GET", path: "/api/v1/editions", token: "Bearer 1.wrong"},
		{method: "GET", path: "/api/v1/orders/A"},
		{method: "POST", path: "/api/v1/orders", body: sale("B", heron)},
		{method: "POST", path: "/hooks/1", body: "{}", token: "-", header: http.Header{
			"Solander-Time": {strconv.FormatInt(noon.Unix(), 10)}, "Solander-Signature": {signed("whatever it is", 1, noon, []byte("{}"))},
		}},
	}
	line.Cut()
	for _, c := range calls {
		if a := d.call(c).problem(503, "busy"); a.header.Get("Retry-After") == "" {
			t.Errorf("%s %s: nothing says when it may be tried again", c.method, c.path)
		}
	}
	d.must(line.Mend())
	d.call(calls[0]).is(200)
	d.call(calls[1]).problem(401, "unknown")
	d.call(calls[3]).is(201)
}
