package web

import (
	"testing"

	"solander/house"
)

// How parcels leave is said by forms, and told on the bench: once above what is packed and handed over, and in each row. What no way takes is
// not ticked.
func TestHowParcelsLeave(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p := s.get("/studio/leaving").is(200)
	p.has("#ways-out", "None is said yet")
	s.get("/").hasNot("#hand-over .trip")
	mailbox := s.get("/studio/leaving/way?kind=mailbox")
	bad := s.sendForm(mailbox, "form.form", "name", "the mailbox").is(422)
	bad.has("#faults", "mailbox has an opening")
	s.leads(s.sendForm(mailbox, "form.form", "name", "the mailbox", "opening.length", "3 in", "opening.width", "1 in"), "/studio/leaving?said=leaving").
		has("#ways-out", "through 3 in × 1 in")
	s.get("/studio/leaving/way?id=nothing").is(404)
	s.get("/studio/leaving/way?kind=balloon").is(404)

	bench := s.get("/")
	bench.has("#hand-over header", "stay")
	bench.has("#hand-over .trip", "No way takes these")
	bench.hasNot("#hand-over input[name=parcels][checked]")
	pickup := s.get("/studio/leaving/way?kind=pickup")
	s.sendForm(pickup, "form.form", "name", "the pickup", "cut_off", "late").is(422).has("#faults", "Until: It is no time of the day; write it like 10:30")
	s.sendForm(pickup, "form.form", "name", "the mailbox").is(422).has("#faults", "wo ways have the name")
	s.leads(s.sendForm(pickup, "form.form", "name", "the pickup", "fee", "4.00", "days.monday", "1", "days.tuesday", "1", "days.wednesday", "1", "days.thursday", "1", "days.friday", "1"), "/studio/leaving").
		has("#ways-out", "Monday, Tuesday, Wednesday, Thursday, Friday")
	bench = s.get("/")
	bench.has("#hand-over header", "with the pickup (4.00)")
	bench.has("#label .task", "with the pickup")
	bench.has("#hand-over input[name=parcels][checked]", "")
	if n := len(bench.find("#hand-over .trip")); n != 0 {
		t.Errorf("the one trip that stands above the group stands in it, too, %d times", n)
	}
	s.get("/hand-over").has("th", "With the pickup (4.00)")

	// Of two windows the later one is told what changed.
	one, two := s.get("/studio/leaving/way?id=pickup"), s.get("/studio/leaving/way?id=pickup")
	s.leads(s.sendForm(one, "form.form", "fee", "5.00"), "/studio/leaving")
	s.sendForm(two, "form.form", "fee", "6.00").is(409).has("#faults", "changed in another window")
	s.leads(s.sendForm(s.get("/studio/leaving"), "form.form", "set_up_money", "1.50"), "/studio/leaving?said=settings")
	s.leads(s.sendForm(s.get("/studio/leaving/way?id=mailbox"), "form.deeds", "do", "take-out"), "/studio/leaving?said=leaving-gone")
	v, err := house.Leaving(s.ctx(), s.studio)
	s.must(err)
	if len(v.Ways) != 1 || v.Ways[0].Fee != 500 || v.SetUpMoney != 150 {
		t.Errorf("what is kept: %+v", v)
	}
}
