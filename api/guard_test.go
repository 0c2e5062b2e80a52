package api

import (
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"solander/feed"
	"solander/feeds"
)

func TestWhoMayCall(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	get := func(token string) answered {
		return d.call(sent{method: "GET", path: "/api/v1/orders/A-1", token: token})
	}
	number, chance, _ := strings.Cut(d.feed.Token, ".")
	for _, token := range []string{
		"-", "Bearer", "Bearer ", "Basic " + d.feed.Token, d.feed.Token, "Bearer " + chance, "Bearer " + number, "Bearer " + number + ".", "Bearer 99." + chance,
		"Bearer " + number + "." + chance[:42], "Bearer " + number + "." + strings.Repeat("A", 43), "Bearer " + strings.Repeat("1", 9999),
	} {
		a := get(token).problem(401, "unknown")
		if got := a.header.Get("WWW-Authenticate"); got != `Bearer realm="solander"` {
			t.Errorf("%.40q is challenged by %q", token, got)
		}
	}
	get("bearer " + d.feed.Token).is(200)
	two := sent{method: "GET", path: "/api/v1/orders/A-1", header: http.Header{"Authorization": {"Bearer x", "Bearer " + d.feed.Token}}}
	d.call(two).problem(401, "unknown")

	d.must(feeds.RevokeFeed(d.ctx(), d.studio, d.feed.ID))
	get("").problem(401, "unknown")
	d.call(sent{method: "POST", path: "/api/v1/orders", body: sale("A-2", heron)}).problem(401, "unknown")
}

// Each call has a scope; a feed with all others may not do it.
func TestScopes(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	for scope, s := range map[feed.Scope]sent{
		feed.OrdersRead:     {method: "GET", path: "/api/v1/orders/A-1"},
		feed.EditionsRead:   {method: "GET", path: "/api/v1/editions"},
		feed.OrdersWrite:    {method: "POST", path: "/api/v1/orders", body: sale("A-2", heron)},
		feed.PaymentsWrite:  {method: "POST", path: "/api/v1/orders/A-1/payments", body: `{"amount": {"minor": 100, "currency": "USD"}}`},
		feed.BuyersWrite:    {method: "PUT", path: "/api/v1/orders/A-1/buyer", match: "*", body: `{"name": "B"}`},
		feed.PapersRead:     {method: "GET", path: "/api/v1/papers/slips"},
		feed.FairsRead:      {method: "GET", path: "/api/v1/fairs"},
		feed.ClaimsRead:     {method: "GET", path: "/api/v1/claims"},
		feed.QuotesRead:     {method: "GET", path: "/api/v1/quote?size=11+x+14"},
		feed.AddressesWrite: {method: "PUT", path: "/api/v1/orders/A-1/address", match: "*", body: `{"name": "B", "line1": "1", "city": "Bonn", "country": "DE", "postcode": "53113"}`},
	} {
		var others []feed.Scope
		for _, o := range feed.Scopes() {
			if o != scope {
				others = append(others, o)
			}
		}
		s.token = "Bearer " + d.newFeed("without "+string(scope), others...).Token
		a := d.call(s).problem(403, "denied")
		if !strings.Contains(a.at("/detail"), string(scope)) || !strings.Contains(a.header.Get("WWW-Authenticate"), "insufficient_scope") {
			t.Errorf("%s: %s %s", scope, a.text, a.header.Get("WWW-Authenticate"))
		}
		s.token = "Bearer " + d.newFeed("with "+string(scope), scope).Token
		if a := d.call(s); a.code >= 300 && scope != feed.PapersRead { // nothing is to be printed here
			t.Errorf("%s: %d %s", scope, a.code, a.text)
		}
	}
}

func TestWhatIsNotRead(t *testing.T) {
	d := newDesk(t)
	path := "/api/v1/orders"
	d.call(sent{method: "POST", path: path, body: sale(strings.Repeat("x", MaxBody), heron)}).problem(413, "toolarge")
	d.call(sent{method: "POST", path: path, body: sale("A-1", heron) + strings.Repeat(" ", MaxBody-len(sale("A-1", heron)))}).is(201)
	for name, h := range map[string]http.Header{
		"a form":   {"Content-Type": {"application/x-www-form-urlencoded"}},
		"nothing":  {"Content-Type": {}},
		"latin":    {"Content-Type": {"application/json; charset=iso-8859-1"}},
		"a packed": {"Content-Encoding": {"gzip"}},
	} {
		if a := d.call(sent{method: "POST", path: path, body: sale("A-2", heron), header: h}); a.code != 415 {
			t.Errorf("%s body is answered %d %s", name, a.code, a.text)
		}
	}
	d.call(sent{method: "POST", path: path, body: sale("A-2", heron), header: http.Header{"Content-Type": {"application/json; charset=UTF-8"}}}).is(201)
	d.call(sent{method: "GET", path: path + "/A-1?page=2"}).problem(400, "")
	if a := d.call(sent{method: "DELETE", path: path + "/A-1"}).problem(405, ""); a.header.Get("Allow") != "GET, HEAD, PATCH" {
		t.Errorf("allowed are %q", a.header.Get("Allow"))
	}
	for _, nowhere := range []string{"/api/v1/", "/api/v1/papers", "/api/v1/papers/a/b", "/api/v1/orders/a/b", "/hooks/", "/hooks/1/2", "/api/v1/openapi.yaml", "/api/v1/docs"} {
		d.call(sent{method: "GET", path: nowhere}).problem(404, "")
	}
}

func TestHeaders(t *testing.T) {
	d := newDesk(t)
	for _, s := range []sent{
		{method: "GET", path: "/api/v1/openapi.json"},
		{method: "GET", path: "/api/v1/nothing"},
		{method: "GET", path: "/api/v1/editions"},
		{method: "GET", path: "/api/v1/editions", token: "-"},
		{method: "POST", path: "/hooks/1", body: "{}"},
	} {
		s.header = http.Header{"Origin": {"https://elsewhere.example"}}
		h := d.call(s).header
		for name, want := range map[string]string{
			"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer",
			"Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'", "Cross-Origin-Resource-Policy": "same-origin",
			"Access-Control-Allow-Origin": "", "Access-Control-Allow-Headers": "",
		} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", s.path, name, h.Get(name))
			}
		}
	}
	// A browser asks first whether another site's page may call; it may not.
	d.call(sent{method: "OPTIONS", path: "/api/v1/orders"}).problem(405, "")
}

func TestRate(t *testing.T) {
	d := newDesk(t)
	d.rate(30) // a bucket of ten, a token every two seconds
	get := sent{method: "GET", path: "/api/v1/editions"}
	for range 10 {
		d.call(get).is(200)
	}
	if a := d.call(get).problem(429, "toomany"); a.header.Get("Retry-After") != "2" {
		t.Errorf("retry after %q", a.header.Get("Retry-After"))
	}
	other := get
	other.token = "Bearer " + d.newFeed("second", feed.EditionsRead).Token
	d.call(other).is(200) // each feed has a bucket of its own
	d.clock.add(2 * time.Second)
	d.call(get).is(200)
	d.call(get).problem(429, "toomany")
	d.clock.add(time.Hour)
	for range 10 {
		d.call(get).is(200)
	}
	d.call(get).problem(429, "toomany") // an hour fills the bucket, not more
}

// Forgetting buckets must not empty those in use.
func TestBucketsAreForgotten(t *testing.T) {
	c := &clock{now: noon}
	l := newLimits(c.Now)
	for i := range int64(mostBuckets) {
		if err := l.take(callers{i, byCall}, 60); err != nil {
			t.Fatal(err)
		}
	}
	c.add(time.Second - time.Millisecond)
	for range 10 {
		_ = l.take(callers{7, byCall}, 60)
	}
	c.add(2 * time.Millisecond) // all but one are full again
	if err := l.take(callers{mostBuckets, byCall}, 60); err != nil || len(l.full) != 2 {
		t.Errorf("%d buckets are left, %v", len(l.full), err)
	}
}

func TestUse(t *testing.T) {
	d := newDesk(t)
	used := func() time.Time {
		f, err := feeds.Feed(d.ctx(), d.studio, d.feed.ID)
		d.must(err)
		return f.Used
	}
	if !used().IsZero() {
		t.Errorf("never used, it was used %v", used())
	}
	d.call(sent{method: "GET", path: "/api/v1/editions"}).is(200)
	if !used().Equal(noon) {
		t.Errorf("it was used %v", used())
	}
	d.clock.add(time.Second)
	d.call(sent{method: "GET", path: "/api/v1/editions"}).is(200) // so soon it is not noted again
	if !used().Equal(noon) {
		t.Errorf("it was used %v", used())
	}
	d.take("A-1")
	if !used().Equal(noon.Add(time.Second)) {
		t.Errorf("it was used %v", used())
	}
}

func TestABrokenStoreIsTold(t *testing.T) {
	d := newDesk(t)
	d.handler = New(d.studio, Options{Log: slog.New(slog.NewTextHandler(d.log, nil)), Clock: func() time.Time { panic("the clock is broken") }})
	a := d.call(sent{method: "GET", path: "/api/v1/editions"}).problem(500, "internal")
	if strings.Contains(a.text, "clock") {
		t.Errorf("it says too much: %s", a.text)
	}
}
