package web

import (
	"strings"
	"testing"
)

// From a sale to what it earned: the figures by several groupings, a row opened, the order part by part, the tables as CSV, and price steps tried.
func TestEarningsRoom(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p := s.get("/earnings?span=all").is(200)
	p.has("#figures th", "Heron at dusk")
	p.has("#figures .estimated", "of it estimated")
	p.has("#by-month svg", "")
	p.has("#stock table td", "")
	row := attr(p.find("#figures tbody a")[0], "href")
	opened := s.get(row).is(200)
	opened.has("h1", "Earned: ")
	before := string(opened.body)
	if again := string(s.get(row).is(200).body); again != before {
		t.Error("a row shows something else when nothing happened")
	}
	s.sale(1, 9000)
	if string(s.get(row).is(200).body) == before { // what is remembered ends with what is written
		t.Error("a print was sold, and its row shows what it did before")
	}
	for _, by := range []string{"picture", "size", "grade", "outlet", "buyer", "state"} {
		s.get("/earnings?span=all&by="+by).is(200).has("#h-figures", "By "+by)
	}
	order := s.get("/orders/1/earned").is(200)
	order.has("th", "Prints")
	s.get("/orders/1").has("a", "What it earned")
	for _, name := range []string{"figures", "below", "months", "outlets", "postage", "stock", "sold", "owed"} {
		if a := s.get("/earnings.csv?span=all&table=" + name).is(200); !strings.Contains(string(a.body), ",") || !strings.Contains(string(a.body), "\r\n") {
			t.Errorf("%s: %.200s", name, a.body)
		}
	}
	s.get("/earnings.csv?table=moon").is(404)
	s.get("/earnings?span=days&from=2026-03-02&to=2026-03-01").has(".wrong", "he last day is before the first")
	prices := s.get("/earnings/prices/1").is(200)
	prices.has("#h-steps", "What its prices earned")
	supposed := s.get("/earnings/prices/1?steps[0].from_sold=0&steps[0].price=100&fewer=5").is(200)
	supposed.has("#ahead th", "As supposed below")
	s.get("/earnings/prices/1?steps[0].from_sold=0&steps[0].price=100&steps[1].from_sold=999&steps[1].price=120").is(422).has(".wrong", "o print is left for the step")
}
