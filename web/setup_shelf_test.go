package web

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"solander/book"
	"solander/house"
	"solander/measure"
	"solander/order"
)

// internals are names that only the program knows: an index of a list, a key of JSON, a name of Go, a failed
// format. None of them is a word for the person at the bench.
var internals = regexp.MustCompile(`[A-Za-z_]+\[\d*\]|\b[a-z]+(?:_[a-z]+)+\b|\b(?:studio|packing|order|fault|edition|supply)\.[A-Z]\w+|%!|<nil>|goroutine`)

// shown is the text of a page that is said to a person: not what stands in a field, nor what is set as code.
func shown(n *html.Node) string {
	var b strings.Builder
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		switch {
		case n.Type == html.TextNode:
			b.WriteString(n.Data + " ")
		case n.Type == html.ElementNode && (n.Data == "textarea" || n.Data == "code" || n.Data == "pre" || n.Data == "script" || n.Data == "style"):
			return
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(n)
	return strings.Join(strings.Fields(b.String()), " ")
}

// plain fails when a page shows something that only the program knows.
func (a answer) plain(what string) answer {
	a.t.Helper()
	if a.root == nil {
		a.t.Fatalf("%s: no page", what)
	}
	if found := internals.FindString(shown(a.root)); found != "" {
		a.t.Errorf("%s: %q is shown: %.300s", what, found, shown(a.root))
	}
	return a
}

// toShelf walks set-up to its last step, with a work and an edition.
func (s *site) toShelf(more ...string) answer {
	s.t.Helper()
	p := s.step(s.get("/set-up"), 200, append([]string{
		"studio", "Marsh Lane Press", "artist", "Ines Corrow", "ship_to.name", "Marsh Lane Press", "ship_to.line1", "4 Marsh Lane",
		"ship_to.city", "Roanoke", "ship_to.region", "VA", "ship_to.postcode", "24011",
	}, more...)...)
	p = s.step(p, 200)
	return s.step(p, 200, "title", "Heron at dusk", "width", "12 in", "height", "16 in", "grade", "standard", "known_paper", "1", "limit", "250", "price", "90", "sheets", "7")
}

// without leaves fields out, as a browser does with boxes that are not ticked.
func without(fields []string, gone func(name string) bool) []string {
	var out []string
	for i := 0; i+1 < len(fields); i += 2 {
		if !gone(fields[i]) {
			out = append(out, fields[i], fields[i+1])
		}
	}
	return out
}

// Whatever is ticked of the offered shelf, the studio opens, every room of it can be entered, and a first sale
// goes to hand-over or the bench says what it waits for, in words.
func TestSetUpWithAnyShelf(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	chance := rand.New(rand.NewPCG(8, 12))
	n := len(house.Defaults(measure.Imperial).Shelf)
	var picks []func(i int) bool
	picks = append(picks, func(int) bool { return false }, func(int) bool { return true })
	d := house.Defaults(measure.Imperial).Shelf
	for _, kind := range []string{"sleeve", "tissue", "board", "envelope", "tube", "carton"} {
		picks = append(picks, func(i int) bool { return string(d[i].Spec.Kind) != kind }, func(i int) bool { return string(d[i].Spec.Kind) == kind })
	}
	for range 8 {
		set := map[int]bool{}
		for i := range n {
			set[i] = chance.IntN(2) == 0
		}
		picks = append(picks, func(i int) bool { return set[i] })
	}
	says := map[int][]string{0: {"no sleeve, no envelope, no tissue, no board, no carton, no tube on the shelf"}, 2: {"no sleeve on the shelf"}}
	for k, pick := range picks {
		t.Run(fmt.Sprint(k), func(t *testing.T) {
			t.Parallel()
			s := emptySite(t)
			shelf := s.toShelf()
			fields := without(fieldsOf(shelf.one("#matter form[action='/set-up']")), func(name string) bool {
				var i int
				n, _ := fmt.Sscanf(name, "shelf[%d].use", &i)
				return n == 1 && strings.HasSuffix(name, ".use") && !pick(i)
			})
			for i := range n {
				if pick(i) {
					fields = replaced(fields, fmt.Sprintf("shelf[%d].stock", i), "9")
				}
			}
			s.leads(s.post("/set-up", append(fields, "go", "next")...), "/").plain("bench after set-up").has(".said", "set up")
			s.firstSale(fmt.Sprint("shelf ", k), says[k]...)
		})
	}
}

// firstSale takes a paid sale as far as the bench leads it, reading every page on the way. Where it cannot be
// packed the bench says so, with these words.
func (s *site) firstSale(what string, says ...string) {
	s.t.Helper()
	s.leads(s.post("/orders", replaced(saleFields(), "paid", "90")...), "/orders/S-1001").plain(what + ": order")
	bench := s.get("/").plain(what + ": bench")
	bench = s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value")).plain(what + ": signed")
	for _, path := range []string{"/orders/S-1001", "/studio", "/drawer", "/shelf-savings", "/studio/what-if", "/studio/check", "/orders/1/why-not", "/editions/1"} {
		s.get(path).is(200).plain(what + ": " + path)
	}
	if len(bench.find("#pack form")) == 0 {
		bench.has("#pack .task", "Held: ")
		for _, part := range says {
			bench.has("#pack .task", part)
		}
		return
	}
	bench = s.submit(bench, "#pack form").plain(what + ": packed")
	bench = s.submit(bench, "#label form", "paid", "6.25").plain(what + ": labelled")
	s.submit(bench, "#hand-over form").plain(what + ": handed over")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed {
		s.t.Errorf("%s: the order is %s", what, v.State)
	}
}

// Nothing typed, odd values and another window never show what only the program knows, and nothing is kept.
func TestSetUpWithOddValues(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := emptySite(t)
	before := s.sum()
	first := s.get("/set-up").plain("first step")
	s.step(first, 422).plain("nothing typed").has(".faults", "Name of the studio")
	for name, odd := range map[string][]string{
		"currency": {"", "EU", "€", "ZZZ"}, "time_zone": {"", "Mars", "../etc"}, "closed[0].from": {"christmas", "2026-13-01"}, "mark_prefix": {"", "12", "ABCDE"},
		"minute_wage": {"-1", "much", "1e9"}, "feeds_a_minute": {"-1", "x"}, "units": {"cubits"}, "holidays": {"lunar"}, "ship_to.country": {"", "Atlantis"}, "ship_to.postcode": {"x"},
	} {
		for _, v := range odd {
			a := s.step(first, 200, "studio", "Marsh Lane Press", "artist", "Ines Corrow", "ship_to.name", "Marsh Lane Press", "ship_to.line1", "4 Marsh Lane", "ship_to.city", "Roanoke", "ship_to.region", "VA", "ship_to.postcode", "24011")
			a = s.post("/set-up", merged(merged(fieldsOf(a.one("#matter form[action='/set-up']")), name, v), "step", "1", "go", "next")...)
			a.is(422).plain(name + "=" + v)
		}
	}
	shelf := s.toShelf()
	for name, odd := range map[string][]string{"shelf[0].stock": {"-1", "many", "999999999999", "1.5"}, "sheets": {"-3", "x"}, "limit": {"-1", "lots"}, "outlets[0].fee": {"x", "101"}, "width": {"-1 in", "wide", "0", "9999999 in"}} {
		for _, v := range odd {
			s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), name, v, "go", "next")...).is(422).plain(name + "=" + v)
		}
	}
	for _, step := range []string{"0", "5", "-1", "x", ""} {
		s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), "step", step)...).is(422).plain("step " + step)
	}
	back := shelf
	for range 4 {
		back = s.step(back, 200, "go", "back").plain("back")
	}
	if s.sum() != before {
		t.Error("something was kept before the end")
	}
	s.leads(s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), "go", "next")...), "/")
	s.post("/set-up", merged(fieldsOf(shelf.one("#matter form[action='/set-up']")), "studio", "Another", "go", "next")...).is(409).plain("second window")
}
