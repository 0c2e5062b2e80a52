package api

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
)

// Odd parts of addresses: slashes and points in code, what controls, what is no UTF-8, what is very long.
var odd = []string{
	"%E9", "%FF%FE", "%00", "a%00b", "%0D%0Ax", "%1B[2J", "%7F", "%C2%9B", "%2F", "a%2Fb", "%2e%2e", "%2E%2E%2Fx", "%5C", "%25", "%20", "%3F", "-1", "0",
	"9223372036854775808", "%E2%80%AE", strings.Repeat("9", 5000), strings.Repeat("%C3%A9", 3000), "*",
}

// Every call with every odd part in place of the order, the feed or the problem answers as described, over a real
// connection, and logs nothing.
func TestOddAddresses(t *testing.T) {
	onEach(t, func(t *testing.T, d *desk) {
		site := httptest.NewServer(d.handler)
		t.Cleanup(site.Close)
		client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		n := 0
		for _, call := range []struct{ method, path, body string }{
			{"GET", "/api/v1/orders/{}", ""},
			{"PATCH", "/api/v1/orders/{}", `{"note": "x"}`},
			{"PUT", "/api/v1/orders/{}/buyer", `{"name": "B"}`},
			{"PUT", "/api/v1/orders/{}/address", `{"name": "B", "line1": "1", "city": "Bonn", "country": "DE", "postcode": "53113"}`},
			{"POST", "/api/v1/orders/{}/payments", `{"amount": {"minor": 1, "currency": "USD"}}`},
			{"POST", "/hooks/{}", "{}"},
			{"GET", "/api/v1/problems/{}", ""},
			{"GET", "/api/v1/{}", ""},
			{"GET", "/api/v1/orders/A/{}", ""},
		} {
			for _, o := range odd {
				r, err := http.NewRequest(call.method, site.URL+strings.Replace(call.path, "{}", o, 1), strings.NewReader(call.body))
				d.must(err)
				r.Header = http.Header{"Authorization": {"Bearer " + d.feed.Token}, "Content-Type": {"application/json"}, "Idempotency-Key": {freshKey()}, "If-Match": {"*"}}
				got, err := client.Do(r)
				if err != nil {
					t.Fatalf("%s %.60s: %v", call.method, o, err)
				}
				body, err := io.ReadAll(got.Body)
				got.Body.Close()
				if n++; err != nil || got.StatusCode < 300 || got.StatusCode >= 500 {
					t.Errorf("%s %s with %.60s: %d %v %.200s", call.method, call.path, o, got.StatusCode, err, body)
				}
			}
		}
		if n != 9*len(odd) {
			t.Errorf("%d addresses were tried", n)
		}
		for _, line := range strings.Split(d.log.String(), "\n") {
			if line != "" && !strings.Contains(line, "not signed for its web-hook") {
				t.Errorf("it logs %s", line)
			}
		}
	})
}

// A caller that leaves before the answer is nobody's error: over a real connection, cut while the call is done.
func TestACallerThatLeaves(t *testing.T) {
	d := newDesk(t)
	var mu sync.Mutex
	var log bytes.Buffer
	h := New(d.studio, Options{Clock: d.clock.Now, Log: slog.New(slog.NewTextHandler(writerFunc(func(b []byte) (int, error) {
		mu.Lock()
		defer mu.Unlock()
		return log.Write(b)
	}), nil))})
	var came chan struct{}
	answered := make(chan int, 1)
	site := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Error(err)
		}
		close(came)
		<-r.Context().Done() // the caller is gone
		r.Body = io.NopCloser(bytes.NewReader(body))
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		answered <- w.Code
	}))
	t.Cleanup(site.Close)
	for _, s := range []sent{{method: "GET", path: "/api/v1/editions"}, {method: "POST", path: "/api/v1/orders", body: sale("A-1", heron)}, {method: "POST", path: "/hooks/1", body: "{}"}} {
		came = make(chan struct{})
		ctx, leave := context.WithCancel(t.Context())
		r, err := http.NewRequestWithContext(ctx, s.method, site.URL+s.path, strings.NewReader(s.body))
		d.must(err)
		r.Header = http.Header{"Authorization": {"Bearer " + d.feed.Token}, "Content-Type": {"application/json"}, "Idempotency-Key": {freshKey()}}
		go func() { <-came; leave() }()
		if got, err := site.Client().Do(r); err == nil {
			got.Body.Close()
			t.Fatalf("%s is answered %d", s.path, got.StatusCode)
		}
		if code := <-answered; code >= 500 || code < 400 {
			t.Errorf("%s: %d", s.path, code)
		}
	}
	if log.Len() > 0 && !strings.Contains(log.String(), "not signed") {
		t.Errorf("it logs %s", log.String())
	}
	if got := d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}); got.code != 404 {
		t.Errorf("the order is there: %s", got.text)
	}
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(b []byte) (int, error) { return f(b) }
