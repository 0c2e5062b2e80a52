package web

import (
	"strings"
	"testing"

	"solander/edition"
	"solander/house"
	"solander/measure"
	"solander/order"
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

// A studio in which nothing happened yet says so on every page of money, and what would put something there; one sale later none of them says it
// where it would be wrong.
func TestPagesOfMoneyOfAnEmptyStudio(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	d := house.Defaults(measure.Imperial)
	d.Settings.Studio, d.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	d.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	d.Work, d.Edition, d.Sheets = edition.Work{}, edition.Edition{}, 0
	for i := range d.Shelf {
		d.Shelf[i].Stock = 0
	}
	s.must(house.SetUp(s.ctx(), s.studio, d))
	s.get("/earnings").has("#figures", "Nothing was sold and nothing left the house in these days")
	s.get("/earnings/prices").has("main", "a limited edition stands here once one of its prints was sold")
	s.get("/earnings/owed").has("main", "Nothing is owed: a sale stands here until it is paid")
	s.get("/earnings/year").has("#nothing", "a sale counts once its print left the house")
	s.get("/earnings/tax").has("#nothing", "No sale left the house in these days")
	full := furnished(t)
	full.sale(1, 9000)
	for path, says := range map[string]string{"/earnings": "Nothing was sold", "/earnings/prices": "stands here once one", "/earnings/year": "Nothing is in the journal"} {
		if text := textOf(full.get(path).is(200).one("main")); strings.Contains(text, says) {
			t.Errorf("%s still says %q", path, says)
		}
	}
}
