package web

import (
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"solander/internal/browsertest"
)

// How high the bench of the invented studio may be, its 29 open orders at every stage, and the head of any page on a phone;
// in pixels of CSS. The phone's screen is 390 wide.
const (
	mostOfDesk        = 3000
	mostOfPhone       = 5500
	mostOfPhoneHead   = 110
	mostOfPhoneDrawer = 3500
	mostOfFirst       = 100 * time.Millisecond // until the bench is first painted, from the machine itself
)

func height(p *browsertest.Page, selector string) int {
	return browsertest.Eval[int](p, `Math.ceil(document.querySelector("`+selector+`").getBoundingClientRect().height)`)
}

func TestHeightsOfTheBench(t *testing.T) {
	t.Parallel()
	st := pictured(t)
	server := httptest.NewServer(New(st, Options{Demo: true}))
	t.Cleanup(server.Close)
	p := browsertest.Open(t)
	p.Desk()
	p.Go(server.URL + "/")
	if n := p.Count(".task, .tosign li"); n < 30 {
		t.Fatalf("only %d rows are there: nothing was measured", n)
	}
	phone, head := 0, 0
	own := httptest.NewServer(New(st, Options{})) // her own studio: how its copies stand is told there
	t.Cleanup(own.Close)
	for _, at := range []string{own.URL, server.URL} {
		p.Desk()
		p.Go(at + "/")
		desk := height(p, "html")
		p.Phone()
		phone, head = height(p, "html"), height(p, "header.head")
		t.Logf("the bench is %d high on a desk, %d on a phone; the head there %d", desk, phone, head)
		if desk > mostOfDesk || phone > mostOfPhone {
			t.Errorf("the bench is %d high on a desk and %d on a phone, more than %d and %d", desk, phone, mostOfDesk, mostOfPhone)
		}
	}
	for _, path := range []string{"/", "/orders", "/editions", "/drawer", "/hand-over", "/earnings", "/studio", "/help"} {
		p.Go(server.URL + path)
		if n := height(p, "header.head"); n > mostOfPhoneHead {
			t.Errorf("%s: its head is %d high on a phone, more than %d", path, n, mostOfPhoneHead)
		}
	}
}

// The drawer of thirty editions, its runs and the shelf are no longer on a phone than this; the kinds of packaging of which nothing
// runs short are folded, and open without a script.
func TestHeightOfTheDrawer(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(New(pictured(t), Options{Demo: true}))
	t.Cleanup(server.Close)
	p := browsertest.Open(t)
	p.Script(false)
	p.Phone()
	p.Go(server.URL + "/drawer")
	if n := p.Count("[aria-labelledby=h-drawer] tbody tr"); n != 30 {
		t.Fatalf("%d editions lie in the drawer, not 30", n)
	}
	if n := height(p, "html"); n > mostOfPhoneDrawer {
		t.Errorf("the page is %d high on a phone, more than %d", n, mostOfPhoneDrawer)
	}
	all, low := p.Count(".stack"), p.Count(".stack:has(td .late)")
	if open := p.Count(".stack[open]"); open != low || low == 0 || low == all {
		t.Errorf("of %d kinds %d run short, and %d are open", all, low, open)
	}
	p.Click(".stack:not([open]) summary")
	if open := p.Count(".stack[open]"); open != low+1 {
		t.Errorf("%d kinds are open after one more was asked for", open)
	}
}

// What opens on the bench opens without a script, and its ticks are ticked: by the link where there is none, else in place.
func TestTicksOfAGroup(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for range 3 {
		s.sale(3, 3500)
	}
	p, base := s.open()
	for _, script := range []bool{false, true} {
		p.Script(script)
		p.Go(base + "/")
		if n := p.Count("#sign input:checked"); n != 0 {
			t.Fatalf("%d are ticked before", n)
		}
		if script {
			p.Click("#sign a.turn")
		} else if status := p.ClickTo("#sign a.turn"); status != 200 {
			t.Fatalf("status %d", status)
		}
		if n := p.Count("#sign input:checked"); n != 3 {
			t.Errorf("script %v: %d of 3 are ticked", script, n)
		}
	}
	p.ClickTo("#sign button.main")
	p.Script(false)
	p.Go(base + "/")
	p.Click("#pack .more summary")
	if !browsertest.Eval[bool](p, `document.querySelector("#pack .inside").checkVisibility()`) {
		t.Error("the detail of a row does not open")
	}
}

// BenchmarkFirstPaint opens the bench of the invented studio in a browser on the same machine, which has its style and type at
// hand and is warm, and asks when something was first painted (W3C Paint Timing, first-contentful-paint).
func BenchmarkFirstPaint(b *testing.B) {
	server := httptest.NewServer(New(pictured(b), Options{Demo: true}))
	b.Cleanup(server.Close)
	p := browsertest.Open(b)
	first := func() time.Duration {
		p.Go(server.URL + "/?open=money")
		browsertest.Eval[bool](p, `new Promise(r => requestIdleCallback(() => setTimeout(() => r(true), 300)))`) // what the page before still does is not this one's
		p.Go(server.URL + "/")
		ms := browsertest.Eval[float64](p, `new Promise(r => { const look = () => {
			const e = performance.getEntriesByName("first-contentful-paint")[0];
			e ? r(e.startTime) : setTimeout(look, 10) }; look() })`)
		return time.Duration(ms * float64(time.Millisecond))
	}
	for range 3 { // a browser that has just begun has no style and type at hand
		first()
	}
	var took []time.Duration
	for b.Loop() {
		took = append(took, first())
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "median-ms")
	b.ReportMetric(float64(took[0].Microseconds())/1000, "least-ms")
	b.Logf("the aim is %v", mostOfFirst)
}
