package web

import (
	"fmt"
	"strings"
	"testing"
	"time"
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
	s.leads(s.sendForm(s.get("/earnings/opening"), "#cost form", "order", "S-1001", "cost", "18.50"), "/earnings/opening?said=opened")
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
