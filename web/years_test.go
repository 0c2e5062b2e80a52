package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"solander/book"
	"solander/dispatch"
	"solander/edition"
	"solander/house"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// What a year came to stands by rows, each of which leads to its entries; a period is closed once and for good.
func TestTheYear(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p := s.get("/earnings/year").is(200)
	year := strings.TrimSuffix(attr(p.one("#closing form"), "action"), "/close")
	p.has("#income", "Sales of prints")
	p.has("#costs", "Postage paid")
	p.has("#stock", "Sheets in the drawer")
	p.has(".caution", "ask an adviser")
	entries := s.get(attr(p.find("#income a")[0], "href")).is(200)
	entries.has("#entries", "a print sold")
	s.get(year + "/entries?of=tips").is(404)
	s.get(year + "/entries?of=sales&month=x").is(422)
	s.get("/earnings/year/99").is(404)

	s.sendForm(p, "#closing form", "until", "2020-12-31").is(422).has("#faults", "sure")
	s.leads(s.sendForm(p, "#closing form", "until", "2020-12-31", "sure", "1"), year+"?said=period").has("#closing", "31 Dec 2020")
	s.sendForm(s.get(year), "#closing form", "until", "2020-06-30", "sure", "1").is(422).has("#faults", "closed already")
	s.sendForm(s.get(year), "#closing form", "until", "2199-06-30", "sure", "1").is(422).has("#faults", "is not over")

	o := s.get("/earnings/opening").is(200)
	s.sendForm(o, "#balance form", "account", "bank", "amount", "much").is(422)
	s.leads(s.sendForm(o, "#balance form", "account", "bank", "amount", "2400", "day", "2020-12-31"), "/earnings/opening?said=opened")
	s.sendForm(s.get("/earnings/opening"), "#cost form", "order", "S-9", "cost", "18.50").is(404)
	s.sendForm(s.get("/earnings/opening"), "#cost form", "order", "S-1001", "cost", "18.50").is(409).has("#faults", "a print costs its sheet when it leaves")
	s.leads(s.sendForm(s.get("/earnings/opening"), "#cost form", "order", s.soldUncosted().Mark, "cost", "18.50"), "/earnings/opening?said=opened")
	s.get("/earnings/year/2021/entries?of=late").has("#entries", "which is closed")

	back := s.get("/earnings/tax").is(200)
	back.has("#return", "In all")
	file := s.get(attr(back.one(".deeds a[download]"), "href")).is(200)
	if got := string(file.body); !strings.HasPrefix(got, "country,region,place,from,until,orders") || !strings.Contains(got, ",in all,") {
		t.Errorf("the file is %q", got)
	}
	s.get("/earnings/tax.csv?from=2031-01-02&until=2031-01-01").is(422)
	s.get("/earnings/tax.csv").is(422)
	s.get("/earnings/tax?from=2031-02-01&until=2031-01-01").is(422).has("#faults", "ends before it begins")
	now := time.Now().Year()
	s.get(fmt.Sprintf("/earnings/tax?from=%d-01-01&until=%d-12-31", now-20, now+20)).is(200).has("#return", "CO, US")
}

// soldUncosted is an order whose print left the house, and of whose sheet nobody ever said what it cost.
func (s *site) soldUncosted() studio.OrderView {
	s.t.Helper()
	e := edition.Edition{
		Work: 1, Width: 8 * in, Height: 10 * in, Paper: "matt paper", Grammage: 230 * measure.GSM, Caliper: measure.Millimetre * 3 / 10, TightestRoll: 2 * in,
		Grade: "proofed", Price: money.Of(3500, "USD"),
	}
	e, err := register.Declare(s.ctx(), s.studio, e)
	s.must(err)
	s.must(stockroom.CountSheets(s.ctx(), s.studio, e.ID, 3, "first count"))
	outlets, err := house.Outlets(s.ctx(), s.studio)
	s.must(err)
	v, err := dispatch.SellInPerson(s.ctx(), s.studio, book.Sale{Outlet: outlets[0].ID, Buyer: order.Buyer{Name: "Ada Quill"}, Lines: []book.SaleLine{{Edition: e.ID}}})
	s.must(err)
	return v
}
