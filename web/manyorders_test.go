package web

import (
	"fmt"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"solander/book"
	"solander/dispatch"
	"solander/house"
	"solander/internal/speedtest"
	"solander/labelling"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
)

// The aims for a bench of many open orders: a thousand, of which the test takes fewer, as its page does not grow with them.
const (
	crowdOfTest      = 300
	crowdOfBenchmark = 1000
	mostOfBench      = 150_000 // bytes of its page
)

// crowdedModel is a studio with many open orders, at every stage of their way.
var crowdedModel = &model{make: func(s *site) {
	s.furnish()
	s.crowd(crowdOfTest)
}}

// crowd takes orders into the book: a quarter owes money, a quarter waits for sheets, a quarter is to be signed, and the
// rest is ready to be packed, or packed, or labelled.
func (s *site) crowd(many int) {
	s.t.Helper()
	outlets, err := house.Outlets(s.ctx(), s.studio)
	s.must(err)
	s.must(stockroom.CountSheets(s.ctx(), s.studio, 3, 3*many/4, "counted"))
	shelf, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	for _, it := range shelf {
		s.must(stockroom.CountShelf(s.ctx(), s.studio, it.ID, 5*many, "counted"))
	}
	var ready []order.Order
	var lines []int64
	for i := range many {
		sale := book.Sale{
			Outlet: outlets[0].ID, Buyer: order.Buyer{Name: fmt.Sprintf("Buyer %d", i)}, Lines: []book.SaleLine{{Edition: 3}},
			ShipTo: order.Address{Name: "B", Line1: fmt.Sprintf("%d Oak Street", i), City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		}
		if i%4 != 0 {
			sale.Paid = money.Of(3500, "USD")
		}
		v, err := book.TakeOrder(s.ctx(), s.studio, sale)
		s.must(err)
		if i%4 == 3 {
			ready = append(ready, v.Order)
			lines = append(lines, v.Views[0].ID)
		}
	}
	s.must(register.Sign(s.ctx(), s.studio, lines))
	for i, o := range ready[:30] {
		parcels, err := dispatch.Pack(s.ctx(), s.studio, dispatch.PackIn{Order: o.ID})
		s.must(err)
		if i%2 == 1 {
			s.must(labelling.Label(s.ctx(), s.studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: parcels[0].Estimated}))
		}
	}
}

// Many open orders make a page of no more than 150 KB: of each group the first rows, and a way to all others. Nothing is
// lost: every order is on one of the pages that the bench leads to.
func TestBenchOfManyOrders(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes seconds: make test does")
	}
	s := crowdedModel.copy(t)
	bench := s.get("/").is(200)
	if n := len(bench.body); n > mostOfBench {
		t.Errorf("the bench has %d bytes, more than %d", n, mostOfBench)
	}
	bench.has(".under", "300 open orders")
	if n := len(bench.find("#money .task")); n != 12 {
		t.Errorf("%d rows of money are shown, not 12", n)
	}
	bench.has("#money .folded", "and 63 more: show all 75")
	found := map[string]bool{}
	queue, seen := []string{"/"}, map[string]bool{}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		if seen[path] {
			continue
		}
		seen[path] = true
		p := s.get(path).is(200)
		if n := len(p.body); n > mostOfBench {
			t.Errorf("%s has %d bytes, more than %d", path, n, mostOfBench)
		}
		for _, a := range p.find("#matter a[href]") {
			to, _, _ := strings.Cut(attr(a, "href"), "#")
			if mark, is := strings.CutPrefix(to, "/orders/S-"); is {
				found[mark] = true
			}
			if strings.HasPrefix(to, "/?open=") && !strings.Contains(to, "turn=") {
				queue = append(queue, to)
			}
		}
	}
	if len(found) != crowdOfTest {
		t.Errorf("%d of %d orders are on %d pages of the bench", len(found), crowdOfTest, len(seen))
	}
	if len(seen) < 8 {
		t.Errorf("only %d pages: nothing was folded", len(seen))
	}
}

// What is done on a page of one group leads back to it; a form that fails there is shown again, with its row.
func TestDeedsOfAnOpenedGroup(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes seconds: make test does")
	}
	s := crowdedModel.copy(t)
	third := s.get("/?open=money&from=37").is(200)
	third.hasNot("#sign")
	if n := len(third.find("#money .task form")); n != 36 {
		t.Fatalf("%d rows, not 36", n)
	}
	action := attr(third.find("#money form")[0], "action")
	failed := s.sendForm(third, "#money form", "amount", "abc").is(422)
	failed.has("#money .wrong", "not an amount")
	if !slices.ContainsFunc(failed.find("#money form"), func(f *html.Node) bool { return attr(f, "action") == action }) {
		t.Error("the form that failed is not on the page")
	}
	after := s.leads(s.sendForm(third, "#money form"), "/?open=money&from=37&marked=")
	after.has(".said", "35.00 USD paid")
	// A row that the whole bench folds is shown when its form fails there.
	folded := s.post(attr(third.find("#money form")[1], "action"), "kind", "balance", "amount", "x", "back", "bench").is(422)
	if n := len(folded.find("#money .task")); n != 13 {
		t.Errorf("%d rows, not the twelve first and the one that failed", n)
	}
	s.get("/?open=nothing").is(422)
	s.get("/?open=money&from=0").is(422)
	s.get("/?open=money&from=9999").is(200)
}

// BenchmarkBenchOfAThousandOrders asks for the page, from the request to the last byte, with plans remembered.
func BenchmarkBenchOfAThousandOrders(b *testing.B) {
	s := siteAt(b, filepath.Join(b.TempDir(), "studio.db"))
	s.furnish()
	s.crowd(crowdOfBenchmark)
	size := len(s.get("/").is(200).body)
	look := func() {
		w := httptest.NewRecorder()
		if s.handler.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost/", nil)); w.Code != 200 {
			b.Fatalf("status %d", w.Code)
		}
	}
	var took []time.Duration
	busy := speedtest.Processor(b)
	for b.Loop() {
		from := time.Now()
		look()
		took = append(took, time.Since(from))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "median-ms")
	b.ReportMetric(float64((speedtest.Processor(b)-busy).Microseconds())/1000/float64(len(took)), "processor-ms")
	b.ReportMetric(float64(size)/1000, "KB")
	if size > mostOfBench {
		b.Errorf("the page has %d bytes, more than %d", size, mostOfBench)
	}
}

// No page of a studio with many open orders is heavier than the bench may be, pictures left out; those load when they come into view.
func TestPagesOfManyOrdersStayLight(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes seconds: make test does")
	}
	s := crowdedModel.copy(t)
	s.run(1, 20)
	_, err := dispatch.HandOver(s.ctx(), s.studio, dispatch.HandOverIn{})
	s.must(err)
	answer := s.reckoned()
	rows, parts := 0, s.get(answer).is(200).find(".broad .stages a")
	for _, a := range parts {
		rows += len(s.get(strings.TrimSuffix(attr(a, "href"), "#h-rows")).is(200).find(".broad tbody tr"))
	}
	if whole := len(s.get(answer).find(".broad tbody tr")); len(parts) < 2 || rows <= whole {
		t.Errorf("%d parts of the answer have %d rows, the first %d", len(parts), rows, whole)
	}
	s.get(answer + "?from=9999").is(422)
	weighed := 0
	for _, path := range append(s.paths(), "/orders?state=open", "/buyers?q=Buyer", "/search?q=Buyer", "/search?q=tide", "/hand-over?past=all", "/drawer?runs=all") {
		p := s.get(path)
		if p.root == nil || p.status != 200 {
			continue
		}
		weighed++
		if n := len(p.body); n > mostOfBench {
			t.Errorf("%s has %d bytes, more than %d", path, n, mostOfBench)
		}
		for _, img := range p.find("img.work") {
			if attr(img, "loading") != "lazy" {
				t.Errorf("%s loads %s at once", path, attr(img, "src"))
			}
		}
	}
	if weighed < 50 {
		t.Errorf("only %d pages were weighed", weighed)
	}
}
