package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"solander/edition"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/internal/pointer"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/store"
	"solander/studio"
)

// noon is the first instant of every test: Tuesday 14 April 2026.
var noon = time.Date(2026, 4, 14, 16, 0, 0, 0, time.UTC)

type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time { c.mu.Lock(); defer c.mu.Unlock(); return c.now }
func (c *clock) add(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// desk is a studio with its calls, on a database of its own, and a feed that may do everything.
type desk struct {
	testing.TB
	studio  *studio.Studio
	handler http.Handler
	clock   *clock
	log     *bytes.Buffer
	feed    feeds.NewFeed
	outlet  order.Outlet
}

const (
	heron = 1 // of 250, 90.00
	tide  = 2 // of 3
	card  = 3 // open
)

func newDesk(t testing.TB) *desk {
	t.Helper()
	return deskAt(t, filepath.Join(t.TempDir(), "studio.db"))
}

// deskAt is a desk on a new store at a place.
func deskAt(t testing.TB, place string) *desk {
	t.Helper()
	c := &clock{now: noon}
	st, err := store.Open(context.Background(), place, store.Options{Clock: c.Now, Away: 200 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	d := &desk{TB: t, studio: studio.New(st, studio.Options{Clock: c.Now}), clock: c, log: &bytes.Buffer{}}
	d.must(setUp(d.studio))
	outlets, err := house.Outlets(d.ctx(), d.studio)
	d.must(err)
	d.outlet = outlets[0]
	d.feed = d.newFeed("everything", feed.Scopes()...)
	d.handler = New(d.studio, Options{Log: slog.New(slog.NewTextHandler(d.log, nil)), Clock: c.Now})
	return d
}

func (d *desk) ctx() context.Context { return studio.WithWho(context.Background(), "Ines Corrow") }

func (d *desk) must(err error) {
	d.Helper()
	if err != nil {
		d.Fatal(err)
	}
}

func setUp(st *studio.Studio) error {
	ctx := context.Background()
	in := house.Defaults(measure.Imperial)
	in.Settings.Studio, in.Settings.Artist, in.Settings.FeedsAMinute = "Marsh Lane Press", "Ines Corrow", 100_000
	in.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	in.Work = edition.Work{Title: "Heron at dusk", Year: 2024}
	in.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2,
		Grade: "standard", Limit: 250, Proofs: edition.Proofs{AP: 5}, Price: money.Of(9000, "USD"),
	}
	if err := house.SetUp(ctx, st, in); err != nil {
		return err
	}
	wk, err := register.SaveWork(ctx, st, edition.Work{Title: "Low tide", Year: 2025})
	if err != nil {
		return err
	}
	for _, limit := range []int{3, 0} {
		e := in.Edition
		e.Work, e.Limit, e.Proofs, e.Price = wk.ID, limit, edition.Proofs{}, money.Of(3500, "USD")
		if e.Grade = "fine"; limit == 0 {
			e.Grade = "card"
		}
		if _, err := register.Declare(ctx, st, e); err != nil {
			return err
		}
	}
	return nil
}

func (d *desk) newFeed(name string, scopes ...feed.Scope) feeds.NewFeed {
	d.Helper()
	f, err := feeds.AddFeed(d.ctx(), d.studio, feed.Feed{Name: name, Outlet: d.outlet.ID, Scopes: scopes})
	d.must(err)
	return f
}

// sent is a call.
type sent struct {
	method, path, body string
	key, token, match  string
	header             http.Header
}

// answered is what came back.
type answered struct {
	testing.TB
	code   int
	header http.Header
	text   string
}

var keys struct {
	sync.Mutex
	n int
}

func freshKey() string {
	keys.Lock()
	defer keys.Unlock()
	keys.n++
	return fmt.Sprintf("key-%d", keys.n)
}

// call sends with the token of the desk's feed and a fresh key unless told otherwise; "-" sends none.
func (d *desk) call(s sent) answered {
	d.Helper()
	r := httptest.NewRequest(s.method, s.path, strings.NewReader(s.body))
	put := func(name, given, usual string) {
		if given == "" {
			given = usual
		}
		if given != "-" && given != "" {
			r.Header.Set(name, given)
		}
	}
	put("Authorization", s.token, "Bearer "+d.feed.Token)
	if s.method != http.MethodGet {
		put("Idempotency-Key", s.key, freshKey())
		r.Header.Set("Content-Type", "application/json")
	}
	put("If-Match", s.match, "")
	for name, values := range s.header {
		r.Header[name] = values
	}
	w := httptest.NewRecorder()
	d.handler.ServeHTTP(w, r)
	return answered{d.TB, w.Code, w.Header(), w.Body.String()}
}

func (a answered) is(code int) answered {
	a.Helper()
	if a.code != code {
		a.Fatalf("it answers %d, want %d: %s", a.code, code, a.text)
	}
	return a
}

// at returns what stands at a pointer of the answer, as text.
func (a answered) at(text string) string {
	a.Helper()
	doc, err := pointer.Document([]byte(a.text))
	if err != nil {
		a.Fatalf("%v: %s", err, a.text)
	}
	p, ok := pointer.Parse(text)
	if !ok {
		a.Fatalf("%q is no pointer", text)
	}
	v, ok := p.In(doc)
	if !ok {
		return "<nothing>"
	}
	if s, ok := v.(string); ok {
		return s
	}
	b, err := json.Marshal(v)
	if err != nil {
		a.Fatal(err)
	}
	return string(b)
}

func (a answered) has(pointer, want string) answered {
	a.Helper()
	if got := a.at(pointer); got != want {
		a.Errorf("at %s stands %q, want %q: %s", pointer, got, want, a.text)
	}
	return a
}

// problem checks that the answer is a problem of a status and code.
func (a answered) problem(code int, kind string) answered {
	a.Helper()
	a.is(code)
	if got := a.header.Get("Content-Type"); got != "application/problem+json" {
		a.Errorf("the media type is %q", got)
	}
	a.has("/status", fmt.Sprint(code))
	if kind != "" {
		a.has("/code", kind).has("/type", "/api/v1/problems/"+kind)
	}
	return a
}

// sale is an order as it is sent: one print of an edition.
func sale(ref string, edition int) string {
	return fmt.Sprintf(`{"ref": %q, "buyer": {"name": "Ada Quill", "email": "ada@example.org"},
		"ship_to": {"line1": "12 Oak Street", "city": "Denver", "region": "CO", "postcode": "80202", "country": "US"},
		"lines": [{"edition": %d}]}`, ref, edition)
}

func (d *desk) take(ref string) answered {
	d.Helper()
	return d.call(sent{method: "POST", path: "/api/v1/orders", body: sale(ref, heron)}).is(201)
}
