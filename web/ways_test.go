package web

import (
	"strings"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/planning"
	"solander/register"
	"solander/web/form"
)

// Three choices stand beside the plan, with the front behind them as a drawing and a table. One click takes one: the plan is that way's, the
// journal has it, packing does it; one click takes it back. None of it needs a script.
func TestChoosingAWay(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{1}))
	p := s.get("/orders/1")
	p.has(".ways summary", "Other ways to send it")
	p.has(".choices h3", "The cheapest")
	rows := p.find(".ways tbody tr")
	if dots := len(p.find(".ways svg rect")) + len(p.find(".ways svg circle")) + len(p.find(".ways svg polygon")); dots != len(rows) || len(rows) < 2 {
		t.Fatalf("%d dots for %d ways", dots, len(rows))
	}
	if n := len(p.find(".ways details[open]")); n != 0 {
		t.Error("the ways are not folded")
	}
	before, err := planning.Plan(s.ctx(), s.studio, 1, calendar.Day{})
	s.must(err)
	forms := p.find(".choices form")
	if len(forms) == 0 {
		t.Fatal("nothing can be chosen")
	}
	fields := fieldsOf(forms[len(forms)-1])
	wrong := merged(fields, "total", "1")
	s.post("/orders/S-1001/way", wrong...).is(409)
	s.post("/orders/S-1001/way", merged(fields, "care", "blessed")...).is(422)
	s.post("/orders/S-1001/way", merged(fields, "total", "a lot")...).is(422)
	q := s.leads(s.post("/orders/S-1001/way", fields...), "/orders/S-1001")
	q.has(".chosen", "You chose this way")
	q.has(".marks", "is to go another way than the cheapest")
	q.has(".said", "goes the way that you chose")
	after, err := planning.Plan(s.ctx(), s.studio, 1, calendar.Day{})
	s.must(err)
	if after.Plan.Total <= before.Plan.Total || !strings.Contains(strings.Join(fields, " "), form.Text64(after.Plan.Total)) {
		t.Errorf("planned for %d, before %d; chosen %v", after.Plan.Total, before.Plan.Total, fields)
	}
	q = s.leads(s.post("/orders/S-1001/way/back"), "/orders/S-1001")
	q.hasNot(".chosen")
	q.has(".marks", "goes the cheapest way again")
	s.post("/orders/S-1001/way/back").is(409)
	forms = q.find(".choices form")
	s.leads(s.post("/orders/S-1001/way", fieldsOf(forms[len(forms)-1])...), "/orders/S-1001")
	s.submit(s.get("/orders/S-1001"), ".next form")
	v, err := book.Order(s.ctx(), s.studio, 1)
	s.must(err)
	var packed int64
	for _, pc := range v.Parcels {
		packed += pc.Plan.Cost
	}
	if packed != after.Plan.Total {
		t.Errorf("packed for %d, chosen %d", packed, after.Plan.Total)
	}
	s.get("/orders/S-1001").hasNot(".ways")
}
