package web

import (
	"fmt"
	"strings"
	"testing"

	"solander/book"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// readyCards takes and signs two orders of one small print each, of one buyer to one address; 20.00 USD, which are 16.00 EUR, of those that were
// agreed in that.
func readyCards(t *testing.T, s *site, agreed ...string) {
	t.Helper()
	w, err := register.SaveWork(s.ctx(), s.studio, edition.Work{Title: "Reed cutter"})
	s.must(err)
	e, err := register.Declare(s.ctx(), s.studio, edition.Edition{
		Work: w.ID, Width: 5 * in, Height: 7 * in, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard",
		Limit: 20, Price: money.Of(2000, "USD"), PrintCost: money.Of(200, "USD"),
	})
	s.must(err)
	s.must(stockroom.CountSheets(s.ctx(), s.studio, e.ID, 9, "first count"))
	for i, line1 := range []string{"7 Mill Road", "7  mill road"} {
		fields := replaced(replaced(saleFields(), "lines[0].edition", fmt.Sprint(e.ID)), "lines[0].number", "")
		fields = replaced(replaced(fields, "ship_to.line1", line1), "paid", "20.00")
		if i < len(agreed) && agreed[i] == "EUR" {
			fields = replaced(replaced(fields, "currency", "EUR"), "paid", "16.00")
		}
		s.leads(s.post("/orders", fields...), "/orders/S-100")
	}
	for _, mark := range []string{"S-1001", "S-1002"} {
		v, err := book.OrderByMark(s.ctx(), s.studio, mark)
		s.must(err)
		s.must(register.Sign(s.ctx(), s.studio, []int64{v.Lines[0].ID}))
	}
}

// The leave to combine is a box on the page of the studio; with it two orders of one buyer are planned, packed, labelled
// and handed over as one parcel, from the pages alone.
func TestTwoOrdersGoTogether(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	readyCards(t, s)
	s.get("/orders/S-1002").hasNot("#plan .together")

	house := s.get("/studio").is(200)
	house.has(".check label", "Send orders of one buyer to one address in one parcel")
	s.submit(house, "form[action='/studio']", "combine", "1")
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	if !set.Combine {
		t.Fatal("the ticked box was not saved")
	}

	p := s.get("/orders/S-1002").is(200)
	p.has("#plan .together", "S-1001")
	p.has("#plan .together a[href='/orders/S-1001']", "S-1001")
	p.has("#plan .together", "by the number of prints")
	bench := s.get("/").is(200)
	bench.has("#pack .task", "goes together with S-1002")
	bench.has("#pack .task", "how it is packed is told under S-1001")

	bench = s.submit(bench, "#pack form")
	bench.hasNot("#pack .task")
	if n := len(bench.find("#label .task")); n != 1 {
		t.Errorf("%d parcels are to be labelled", n)
	}
	bench.has("#label .task", "together with S-1002")
	bench = s.submit(bench, "#label form", "paid", "7.00", "tracking", "")
	s.submit(bench, "#hand-over form")
	for mark, other := range map[string]string{"S-1001": "S-1002", "S-1002": "S-1001"} {
		p := s.get("/orders/" + mark).is(200)
		p.has("[aria-labelledby='h-parcels'] .together", other)
		p.has("[aria-labelledby='h-parcels'] dd", "3.50 USD")
		p.has(".way [aria-current]", "done")
	}
	row := s.get("/hand-overs/1").is(200)
	row.has("th[data-head='Order']", "S-1002")

	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1002")
	s.must(err)
	if len(v.Parcels) != 1 || v.Parcels[0].State != studio.HandedOver {
		t.Errorf("%+v", v.Parcels)
	}
	s.submit(s.get("/studio"), "form[action='/studio']", "combine", "")
	if set, err = s.studio.Settings(s.ctx()); err != nil || set.Combine {
		t.Errorf("the box cannot be cleared: %v", err)
	}
	if !strings.Contains(textOf(s.get("/orders/S-1002").root), "packed together with S-1001") &&
		!strings.Contains(textOf(s.get("/orders/S-1002").root), "in 1 parcel together with S-1001") {
		t.Error("the journal of S-1002 does not tell")
	}
}
