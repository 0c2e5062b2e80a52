package web

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"solander/register"
)

// A page of another site must not be able to read or send anything here, even by pointing its own name
// at this machine.
func TestOnlyOwnNamesAreAnswered(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for host, want := range map[string]int{
		"localhost": 200, "localhost:8420": 200, "LOCALHOST": 200, "127.0.0.1:8420": 200, "127.9.9.9": 200, "[::1]:8420": 200, "localhost.": 200,
		"studio.example": 421, "localhost.example": 421, "10.0.0.1": 421, "": 421, "0.0.0.0": 421, "127.0.0.1.example": 421,
	} {
		r := httptest.NewRequest("GET", "http://localhost/help", nil)
		r.Host = host
		if a := s.send(r); a.status != want {
			t.Errorf("Host %q: status %d, want %d", host, a.status, want)
		}
	}
	own := New(s.studio, Options{Hosts: []string{"studio.example"}})
	r := httptest.NewRequest("GET", "http://studio.example/help", nil)
	w := httptest.NewRecorder()
	if own.ServeHTTP(w, r); w.Code != 200 {
		t.Errorf("a name that Options allow: status %d", w.Code)
	}
}

func TestFormsOfOtherSitesAreRefused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for name, set := range map[string]func(*http.Request){
		"fetch metadata": func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
		"a neighbour":    func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") },
		"origin alone":   func(r *http.Request) { r.Header.Del("Sec-Fetch-Site"); r.Header.Set("Origin", "http://studio.example") },
	} {
		r := formRequest("/works", values("title", "Smuggled"))
		set(r)
		s.send(r).is(http.StatusForbidden).has("#faults", "another site")
		works, err := register.Works(s.ctx(), s.studio)
		s.must(err)
		if len(works) != 2 {
			t.Errorf("%s: it was written", name)
		}
	}
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, path := range []string{"/", "/nowhere", "/static/solander.css", "/papers/bench.pdf"} {
		h := s.get(path).header
		for name, want := range map[string]string{
			"Content-Security-Policy": "script-src 'self'", "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
			"X-Frame-Options": "DENY", "Cross-Origin-Opener-Policy": "same-origin",
		} {
			if !strings.Contains(h.Get(name), want) {
				t.Errorf("%s: %s is %q", path, name, h.Get(name))
			}
		}
		if strings.Contains(h.Get("Content-Security-Policy"), "unsafe") {
			t.Errorf("%s: the policy allows something unsafe", path)
		}
	}
	if c := s.get("/orders").header.Get("Cache-Control"); c != "no-store" {
		t.Errorf("a page with buyers may be kept: %q", c)
	}
}

// Ten megabytes of garbage, of every kind: an answer of the 4xx kind, and nothing written.
func TestGarbageIsRefused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	garbage := bytes.Repeat([]byte{0xff, 'a', '=', 0x00, '&', '%'}, 10<<20/6)
	for _, c := range []struct {
		kind string
		body io.Reader
		want int
	}{
		{"application/x-www-form-urlencoded", bytes.NewReader(garbage), 413},
		{"application/x-www-form-urlencoded", strings.NewReader("title=" + strings.Repeat("x", 10<<20)), 413},
		{"application/x-www-form-urlencoded", strings.NewReader("title=%zz"), 422},
		{"application/x-www-form-urlencoded", strings.NewReader("title=%ff%fe"), 422},
		{"application/x-www-form-urlencoded", strings.NewReader("title=a%00b"), 422},
		{"application/x-www-form-urlencoded", strings.NewReader("title=" + strings.Repeat("x", 5000)), 422},
		{"application/x-www-form-urlencoded", strings.NewReader("title=x&year=12&%ff=1"), 422},
		{"application/json", strings.NewReader(`{"title":"x"}`), 422},
		{"multipart/form-data; boundary=x", bytes.NewReader(garbage), 422},
		{"", strings.NewReader("title=x"), 422},
	} {
		r := httptest.NewRequest("POST", "http://localhost/works", c.body)
		r.Header.Set("Content-Type", c.kind)
		r.Header.Set("Sec-Fetch-Site", "same-origin")
		if a := s.send(r); a.status != c.want {
			t.Errorf("%s: status %d, want %d", c.kind, a.status, c.want)
		} else if len(a.find("#faults")) != 1 {
			t.Errorf("%s: no fault is shown", c.kind)
		}
	}
	works, err := register.Works(s.ctx(), s.studio)
	s.must(err)
	if len(works) != 2 {
		t.Errorf("%d works, want the 2 there were", len(works))
	}
	s.get("/search?q=%ff%fe").is(422).has("#faults", "not UTF-8")
}

func TestUnknownPagesAndMethods(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/nowhere").is(404).has("h1", "Not found")
	a := s.send(httptest.NewRequest("DELETE", "http://localhost/orders", nil)).is(405)
	if allow := a.header.Get("Allow"); !strings.Contains(allow, "GET") || !strings.Contains(allow, "POST") {
		t.Errorf("Allow: %q", allow)
	}
	s.get("/orders/S-9999").is(404)
	s.get("/orders/999").is(404)
	s.get("/editions/999").is(404)
	s.get("/editions/x").is(404)
	s.get("/editions/1/numbers/251").is(404).has("#faults", "no number")
	s.get("/editions/1/numbers/0").is(404)
	s.get("/papers/slip/1.png").is(404)
	s.get("/papers/label/99.pdf").is(404)
	s.get("/static/missing.css").is(404)
	s.post("/marks/99/undo").is(404)
}

func TestHeadSaysWhatGetWould(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.send(httptest.NewRequest("HEAD", "http://localhost/", nil))
	if a.status != 200 || len(a.body) != 0 {
		t.Errorf("status %d, %d bytes", a.status, len(a.body))
	}
}
