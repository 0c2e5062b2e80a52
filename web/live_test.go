package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"solander/internal/browsertest"
	"solander/internal/pgtest"
	"solander/live"
	"solander/studio"
)

// shared says how each engine gives the place of a furnished studio that two programs have open.
var shared = map[string]func(t *testing.T) (one, two *site){
	"sqlite": func(t *testing.T) (one, two *site) {
		one = furnished(t)
		return one, siteAt(t, strings.TrimPrefix(one.studio.Store.Place(), "SQLite file "))
	},
	"postgres": func(t *testing.T) (one, two *site) {
		place := pgtest.New(t)
		one = siteAt(t, place)
		one.busy()
		return one, siteAt(t, place)
	},
	"behind a pooler": func(t *testing.T) (one, two *site) {
		place := pgtest.Pooled(t, pgtest.New(t))
		one = siteAt(t, place)
		one.busy()
		return one, siteAt(t, place)
	},
}

// A page says at the lower edge that what it shows has changed, when another program on the same store changed it: nothing on it moves, what is
// being typed stays, and it is shown anew when she wants. What another program changed elsewhere is not told.
func TestAPageSaysThatItHasChanged(t *testing.T) {
	t.Parallel()
	for engine, opened := range shared {
		t.Run(engine, func(t *testing.T) {
			one, two := opened(t)
			p, base := one.open()
			p.Go(base + "/")
			p.Click("#look")
			p.Type("her")
			where := func() string {
				return browsertest.Eval[string](p, `JSON.stringify([...document.querySelectorAll("main *, .foot *")].map(e => e.getBoundingClientRect()))`)
			}
			before := where()
			looks := func() int {
				return browsertest.Eval[int](p, `performance.getEntriesByType("resource").filter(e => e.initiatorType === "fetch" && e.name === location.href).length`)
			}
			two.must(two.studio.Store.Write(two.ctx(), func(tx studio.Tx) error {
				w, err := tx.Work(1)
				two.must(err)
				w.Note = "not on the bench"
				_, err = tx.SaveWork(w)
				return err
			}))
			for end := time.Now().Add(time.Minute); looks() == 0; time.Sleep(50 * time.Millisecond) {
				if time.Now().After(end) {
					t.Fatal("the page was not looked at after a write of another program")
				}
			}
			time.Sleep(300 * time.Millisecond) // what it saw is compared by now
			if n := p.Count("#changed p"); n != 0 {
				t.Error("it says that it has changed, and the change is not to be seen on it")
			}
			two.sale(1, 9000)
			p.Wait("#changed p")
			if got := p.Text("#changed"); got != "This page has changed meanwhile: show it anew" {
				t.Errorf("it says %q", got)
			}
			if after := where(); after != before {
				t.Errorf("the page moved:\n%.300s\n%.300s", before, after)
			}
			if at, text := p.Focused(), browsertest.Eval[string](p, `document.getElementById("look").value`); !strings.Contains(at, "look") || text != "her" {
				t.Errorf("she is at %s, where %q stands", at, text)
			}
			p.MustBeAccessible()
			looked(t, p, "changed-"+strings.ReplaceAll(engine, " ", "-"))
			p.ClickTo("#changed a")
			if got := p.Count("#changed p"); got != 0 || !strings.Contains(p.Text("main"), "S-1008") {
				t.Errorf("shown anew it says nothing of the sale, or that it has changed again: %d", got)
			}
		})
	}
}

// The answer to who waits comes when another program wrote, long before she would look again; without a write it comes in its time, and when the program is to end, at once.
func TestWhoWaitsIsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	for engine, opened := range shared {
		t.Run(engine, func(t *testing.T) {
			one, two := opened(t)
			since := attr(one.get("/").one("main"), "data-writes")
			answered := make(chan *httptest.ResponseRecorder)
			ask := func() {
				w := httptest.NewRecorder()
				one.handler.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost/changes?since="+since, nil))
				answered <- w
			}
			go ask()
			select {
			case w := <-answered:
				t.Fatalf("nothing was written, and it is answered %d %s", w.Code, w.Body)
			case <-time.After(200 * time.Millisecond):
			}
			two.sale(1, 0)
			w := <-answered
			if n, err := strconv.Atoi(w.Body.String()); w.Code != 200 || err != nil || w.Body.String() == since {
				t.Fatalf("it is answered %d %q (%d %v)", w.Code, w.Body, n, err)
			}
			if now := attr(one.get("/").one("main"), "data-writes"); now != w.Body.String() {
				t.Errorf("%s writes are told, and %s stand", w.Body, now)
			}
		})
	}
}

// No more wait than there is room for, and all of them go when the program ends.
func TestWaitingIsBounded(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	until, end := context.WithCancel(t.Context())
	s.handler = newFace(s.studio, Options{Version: "test", Until: until}).handler()
	since := attr(s.get("/").one("main"), "data-writes")
	ask := func() int {
		w := httptest.NewRecorder()
		s.handler.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost/changes?since="+since, nil))
		return w.Code
	}
	var all sync.WaitGroup
	codes := make(chan int, live.Most+1)
	for range live.Most + 1 {
		all.Go(func() { codes <- ask() })
	}
	if code := <-codes; code != http.StatusServiceUnavailable {
		t.Errorf("the first answer is %d: one of them is too many", code)
	}
	end()
	all.Wait()
	close(codes)
	for code := range codes {
		if code != http.StatusNoContent {
			t.Errorf("at its end it answers %d", code)
		}
	}
	for _, since := range []string{"", "x", "-1", "9999999999999999999999"} {
		s.get("/changes?since=" + since).is(404)
	}
}

// quick lets another program write as soon as a write is done.
type quick struct {
	studio.Store
	then func()
}

func (q quick) Write(ctx context.Context, f func(studio.Tx) error) error {
	err := q.Store.Write(ctx, f)
	q.then()
	return err
}

// What a page says was done, and offers to undo, is what its own form did, however soon another program marks something.
func TestADeedNamesItsOwnMark(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	two := siteAt(t, strings.TrimPrefix(s.studio.Store.Place(), "SQLite file "))
	own := *s.studio
	own.Store = quick{s.studio.Store, func() { two.sale(1, 0) }}
	s.studio = &own
	s.start()
	page := s.leads(s.post("/orders/1/pay", "once", "a-key", "amount", "10"), "/orders/1?")
	page.has(".said", "10.00 USD paid")
	s.leads(s.sendForm(page, ".said form"), "/orders/1?").has(".said", "taken back")
}
