package web

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"

	"solander/internal/pgtest"
	"solander/movein"
)

// odd are parts of addresses that no page has: slashes and points in code, what controls, what is no UTF-8, what is very long.
var odd = []string{
	"%E9", "%FF%FE", "%00", "a%00b", "%0A", "%0D%0Ax", "%1B[2J", "%7F", "%C2%9B2J", "%2F", "a%2Fb", "%2e%2e", "%2E%2E%2F%2e%2e%2Fetc%2Fpasswd", "..%5C..", "%5C", "%25", "%2500",
	"%20", "%3F", "%23", "%3B", "-1", "0", "007", "9223372036854775807", "9223372036854775808", "1e3", "S-", "S-1001.pdf", "x.csv", ".ics", ".vcf", ".pdf",
	"%F0%9F%96%BC", "%E2%80%AE", strings.Repeat("9", 5000), strings.Repeat("%C3%A9", 3000), strings.Repeat("%2F", 3000), "solander.css%2F", "CON", "*", "%22%3E%3Cscript%3E",
}

var segment = regexp.MustCompile(`\{[^}]*\}`)

// Every address with every odd part in place of each of its own: the answer is a page or says what is wrong, and nothing fails.
// Over a real connection, on both engines.
func TestOddAddresses(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		site func(*testing.T) *site
		odd  []string
	}{
		"sqlite":   {newSite, odd},
		"postgres": {func(t *testing.T) *site { s := siteAt(t, pgtest.New(t)); s.furnish(); return s }, odd[:8]}, // what an engine may not hold as text
	} {
		t.Run(name, func(t *testing.T) {
			s := c.site(t)
			var log bytes.Buffer
			server := httptest.NewServer(New(s.studio, Options{Log: slog.New(slog.NewTextHandler(&log, nil))}))
			t.Cleanup(server.Close)
			client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
			var paths []string
			for _, rt := range append([]route{{method: "GET", path: "/static/{file}"}, {method: "GET", path: "/static/deep/{file}"}, {method: "GET", path: "/{nowhere}"}}, (&face{}).routes()...) {
				path := strings.TrimSuffix(rt.path, "{$}")
				for _, o := range c.odd {
					if segment.MatchString(path) {
						paths = append(paths, rt.method+" "+segment.ReplaceAllLiteralString(path, o))
					}
				}
				if rt.method == "GET" {
					for _, q := range []string{"%00", "%E9", strings.Repeat("9", 5000), "a%0Ab", "%"} {
						paths = append(paths, "GET "+segment.ReplaceAllLiteralString(path, "1")+"?q="+q+"&day="+q+"&state="+q+"&after="+q+"&edition="+q+"&marked="+q+"&said="+q)
					}
				}
			}
			paths = append(paths, "GET /static/", "GET /static", "GET /static/fonts/", "GET /static/.", "GET /static//solander.css", "GET //static/", "GET /static/../", "GET /%2e%2e/static/")
			statuses := map[int]int{}
			for _, p := range paths {
				method, path, _ := strings.Cut(p, " ")
				r, err := http.NewRequest(method, server.URL+path, strings.NewReader(""))
				if err != nil {
					if strings.Contains(path, "?") || strings.HasSuffix(path, "%") {
						continue
					}
					t.Fatal(err)
				}
				if method == "POST" {
					r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
				}
				got, err := client.Do(r)
				if err != nil {
					t.Fatalf("%.80s: %v", p, err)
				}
				body, err := io.ReadAll(got.Body)
				got.Body.Close()
				statuses[got.StatusCode]++
				if err != nil || got.StatusCode >= 500 {
					t.Errorf("%.120s: %d %v", p, got.StatusCode, err)
				}
				if strings.HasPrefix(path, "/static") && (got.StatusCode == 200 || bytes.Contains(body, []byte(`href="solander.css"`))) {
					t.Errorf("%.80s answers %d %.200s", p, got.StatusCode, body)
				}
			}
			if statuses[404] == 0 || len(paths) < 500 {
				t.Errorf("%d addresses are answered %v", len(paths), statuses)
			}
			for line := range strings.Lines(log.String()) { // addresses of no calendar are counted, and nothing else is worth a line
				if !strings.Contains(line, `msg="a calendar's address is not known"`) {
					t.Errorf("it logs %.2000s", line)
				}
			}
		})
	}
}

// What the pages load is there as before.
func TestStaticFilesAreThere(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.get("/static/solander.css").is(200)
	if c := a.header.Get("Cache-Control"); c != "public, max-age=3600" {
		t.Errorf("it may be kept: %q", c)
	}
	for _, path := range []string{"/static/%E9", "/static/", "/static/nothing.css"} {
		a := s.get(path).is(404)
		a.has("h1", "Not found")
		if a.header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s may be kept: %q", path, a.header.Get("Cache-Control"))
		}
	}
}

// A browser that leaves before its answer is nobody's error: over a real connection that is cut while the page is made.
func TestABrowserThatLeaves(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	var mu sync.Mutex
	var log bytes.Buffer
	h := New(s.studio, Options{Log: slog.New(slog.NewTextHandler(writerFunc(func(b []byte) (int, error) { mu.Lock(); defer mu.Unlock(); return log.Write(b) }), nil))})
	came, answered := make(chan struct{}), make(chan int, 1)
	server := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		close(came)
		<-r.Context().Done() // the client is gone
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		answered <- w.Code
	}))
	t.Cleanup(server.Close)
	for _, path := range []string{"/", "/orders", "/studio/backup", "/studio/export", "/papers/bench.pdf", "/intake"} {
		came = make(chan struct{})
		ctx, leave := context.WithCancel(t.Context())
		r, err := http.NewRequestWithContext(ctx, "GET", server.URL+path, nil)
		s.must(err)
		go func() { <-came; leave() }()
		if got, err := server.Client().Do(r); err == nil {
			got.Body.Close()
			t.Fatalf("%s is answered %d", path, got.StatusCode)
		}
		if code := <-answered; code >= 500 {
			t.Errorf("%s: %d", path, code)
		}
	}
	if log.Len() > 0 {
		t.Errorf("it logs %s", log.String())
	}
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(b []byte) (int, error) { return f(b) }

// upload is a form with a file, and the key that stood hidden in it.
func upload(once, name, body string) *http.Request {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	_ = m.WriteField("once", once)
	_ = m.WriteField("rows", "")
	f, _ := m.CreateFormFile("file", name)
	_, _ = io.WriteString(f, body)
	_ = m.Close()
	r := httptest.NewRequest("POST", "http://localhost/intake", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

// The same form with the same file is sent once; with another file, by whatever name, it is another one.
func TestAnUploadsKeyHoldsItsBytes(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	to := map[string]string{}
	for _, c := range []struct{ name, file, body string }{
		{"first", "fair.csv", "Date,Buyer\n2026-03-02,Ada\n"},
		{"again", "fair.csv", "Date,Buyer\n2026-03-02,Ada\n"},
		{"one byte", "fair.csv", "Date,Buyer\n2026-03-02,Adb\n"},
		{"longer", "fair.csv", "Date,Buyer\n2026-03-02,Ada\n2026-03-02,Bo\n"},
	} {
		a := s.send(upload("the same key", c.file, c.body)).is(http.StatusSeeOther)
		to[c.name] = a.header.Get("Location")
	}
	if to["first"] == "" || to["again"] != to["first"] || to["one byte"] == to["first"] || to["longer"] == to["first"] || to["longer"] == to["one byte"] {
		t.Errorf("they are led to %v", to)
	}
	waiting, err := movein.Arrivals(s.ctx(), s.studio)
	s.must(err)
	if len(waiting) != 3 {
		t.Errorf("%d files wait", len(waiting))
	}
}

// Rows of tracking numbers under the same key are others when one sign differs.
func TestABatchOfLabelsHoldsItsRows(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	send := func(text string) string {
		a := s.send(formRequest("/postage/back", url.Values{"once": {"the same key"}, "layout": {"plain"}, "text": {text}, "note": {"1"}}))
		return fmt.Sprint(a.status, string(a.body))
	}
	if first, second := send("Order,Tracking\nS-1,AB1\n"), send("Order,Tracking\nS-1,AB2\n"); !strings.Contains(first, "AB1") || !strings.Contains(second, "AB2") {
		t.Errorf("the second is answered as the first: %.300s %.300s", first, second)
	}
}
