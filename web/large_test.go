package web

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/register"
)

// inside is a part of a page.
func (p htmlPage) inside(n *html.Node) htmlPage {
	p.root = n
	return p
}

// drawn says what a contact sheet shows: numbers one by one, runs of free ones as "first-last".
func drawn(p htmlPage) string {
	var out []string
	for _, li := range p.find(".spots li") {
		var ends []string
		for _, a := range p.inside(li).find("a") {
			ends = append(ends, textOf(a))
		}
		out = append(out, strings.Join(ends, "-"))
	}
	return strings.Join(out, " ")
}

// An edition with more taken numbers than a page shows is drawn in parts, and every number is in exactly one of them,
// alone or in a run of free ones.
func TestLargeEditionIsDrawnInParts(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	e, err := register.Declare(s.ctx(), s.studio, edition.Edition{
		Work: 2, Width: 8 * in, Height: 10 * in, Paper: "matt paper", Grammage: 230 * measure.GSM,
		Caliper: measure.Millimetre * 3 / 10, Grade: "large", Limit: 2500, Proofs: edition.Proofs{AP: 2}, Price: money.Of(3500, "USD"),
	})
	s.must(err)
	path := fmt.Sprintf("/editions/%d", e.ID)
	if got := drawn(s.get(path).is(200).htmlPage); got != "1-2500 AP 1 AP 2" {
		t.Errorf("before the first sale it draws %s", got)
	}
	s.post(fmt.Sprintf("/drawer/%d/count", e.ID), "counted", "1200", "reason", "a large run").is(303)
	s.post(path+"/sign", "numbers", "3-400").is(303)
	s.post(path+"/sign", "numbers", "1001-1700").is(303)
	p := s.get(path).is(200)
	p.has(".stages a", "1103 to 1602")
	p.has(".sum a", "2500 unsold")
	numbers, cells := map[int]int{}, 0
	for _, a := range p.find(".stages a") {
		part := s.get(strings.TrimSuffix(attr(a, "href"), "#numbers")).is(200)
		if part.one(".stages a[aria-current=page]"); len(part.find(".spots a")) > register.MostDrawn+20 {
			t.Errorf("%s draws %d numbers on one page", attr(a, "href"), len(part.find(".spots a")))
		}
		for _, spot := range strings.Fields(strings.ReplaceAll(drawn(part.htmlPage), "AP ", "AP")) {
			from, to, run := strings.Cut(spot, "-")
			if strings.HasPrefix(spot, "AP") {
				continue
			}
			if !run {
				to, cells = from, cells+1
			}
			first, err1 := strconv.Atoi(from)
			last, err2 := strconv.Atoi(to)
			if err1 != nil || err2 != nil {
				t.Fatalf("a spot says %q", spot)
			}
			for n := first; n <= last; n++ {
				numbers[n]++
			}
		}
	}
	for n := 1; n <= e.Limit; n++ {
		if numbers[n] != 1 {
			t.Fatalf("number %d is drawn %d times", n, numbers[n])
		}
	}
	if len(numbers) != e.Limit || cells != 398+700+2 {
		t.Errorf("%d numbers, %d of them alone, want 2500 and 1100", len(numbers), cells)
	}
	for query, field := range map[string]string{"from=2501": "no number", "from=x": "no number", "from=0": "no number", "at=2501": "no number", "from=9&to=3": "ends at 3", "show=green": "never", "of=XX": "no kind", "of=AP&to=3": "no number"} {
		s.get(path+"?"+query).is(422).has("#faults", field)
	}
}

// What the head counts is what its links list.
func TestCountsOfAnEditionLeadToTheirLists(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 9000)
	s.sale(1, 9000)
	s.post("/editions/1/sign", "numbers", "10, 12-14; AP 2").is(303)
	s.post("/editions/1/numbers/20/keep", "reason", "").is(303)
	s.post("/editions/1/numbers/AP-1/keep", "reason", "").is(303)
	p := s.get("/editions/1").is(200)
	whole, sum := 0, 0
	for i, a := range p.find(".sum a") {
		n, err := strconv.Atoi(textOf(p.inside(a).find(".fig")[0]))
		s.must(err)
		if i == 3 {
			whole = n
			break
		}
		sum += n
		list := s.get(strings.TrimSuffix(attr(a, "href"), "#numbers")).is(200)
		if got := counted(t, list.htmlPage); got != n {
			t.Errorf("%s lists %d numbers, the head says %d", attr(a, "href"), got, n)
		}
	}
	if sum != 250 || whole != 250 {
		t.Errorf("the lots add up to %d of %d", sum, whole)
	}
	states := p.find(".legend a")
	if len(states) != 5 { // all, free, promised, signed, kept
		t.Errorf("%d states", len(states))
	}
	for _, a := range states {
		n, err := strconv.Atoi(textOf(p.inside(a).find(".count")[0]))
		s.must(err)
		to, err := url.Parse(attr(a, "href"))
		s.must(err)
		list := s.get(to.Path + "?" + to.RawQuery).is(200)
		if got := counted(t, list.htmlPage); got != n {
			t.Errorf("%s lists %d numbers, the legend says %d", attr(a, "href"), got, n)
		}
	}
	for query, want := range map[string]string{
		"show=signed": "10 12 13 14 AP 2", "show=kept&of=AP": "AP 1", "show=free&from=9&to=13": "9 11", "from=9&to=13": "9 10 11 12 13",
		"show=unsold&from=9&to=13": "9 10 11 12 13", "show=out": "20 AP 1", "show=sold&from=2": "2", "show=withdrawn": "",
	} {
		if got := drawn(s.get("/editions/1?" + query).is(200).htmlPage); got != want {
			t.Errorf("?%s draws %q, want %q", query, got, want)
		}
	}
}

// counted is how many numbers a contact sheet shows, those of runs too.
func counted(t *testing.T, p htmlPage) int {
	t.Helper()
	n := 0
	for _, li := range p.find(".spots li") {
		free := p.inside(li).find("span.free")
		if len(free) == 0 {
			n++
			continue
		}
		run, err := strconv.Atoi(strings.TrimSuffix(textOf(free[0]), " free"))
		if err != nil {
			t.Fatal(err)
		}
		n += run
	}
	return n
}

// What was sold is drawn, and told again in a table.
func TestSalesOfAnEditionAreDrawn(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/editions/1").is(200).hasNot("svg.course")
	s.sale(1, 9000)
	s.sale(1, 9000)
	p := s.get("/editions/1").is(200)
	p.has("svg.course text", "2 sold")
	if n := len(p.find("svg.course rect")); n != 1 {
		t.Errorf("%d bars, want one of the month", n)
	}
	p.has("td", "90.00 USD")
}
