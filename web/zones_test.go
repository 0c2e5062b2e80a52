package web

import (
	"fmt"
	"strings"
	"testing"

	"solander/calendar"
	"solander/house"
	"solander/planning"
	"solander/pricecards"
	"solander/studio"
)

// The operator's zones for her own postcode are pasted, shown, used instead of the estimate, and taken out again; what is left open is
// named before. The zones are those of the origin's estimate, each one further, so that a plan shows which of both it goes by.
func TestZonesPasted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.must(house.ChangeSettings(s.ctx(), s.studio, func(set *studio.Settings) error {
		set.Address.Postcode, set.Address.City, set.Address.Region = "97201", "Portland", "OR" // no bundled chart starts there
		return nil
	}))
	v := s.sale(1, 9000)
	zone := func() (string, bool) {
		plan, err := planning.Plan(s.ctx(), s.studio, v.ID, calendar.Day{})
		s.must(err)
		estimated := false
		for _, x := range plan.Plan.Warnings {
			estimated = estimated || x.Code == "zone.estimated"
		}
		if len(plan.Plan.Parcels) == 0 {
			t.Fatalf("nothing is planned: %+v", plan)
		}
		return plan.Plan.Parcels[0].Zone, estimated
	}
	guessed, estimated := zone()
	if !estimated {
		t.Fatalf("zone %s is not estimated: nothing was tested", guessed)
	}
	s.get("/studio/zones").is(200).has("#used", "estimated by distance")

	other := map[bool]string{true: "7", false: "8"}[guessed == "8"]
	var list strings.Builder
	list.WriteString("ZIP Code Zone\n")
	for n := 5; n < 1000; n += 5 {
		fmt.Fprintf(&list, "%03d---%03d  %s%s\n", n, n+4, other, map[bool]string{true: "*"}[n == 100])
	}
	p := s.get("/studio/zones").is(200)
	a := s.sendForm(p, "#editor", "text", list.String()+"300-310 2\n", "source", "their chart", "do", "keep")
	if a.status != 422 {
		t.Errorf("overlapping zones were taken: %d", a.status)
	}
	a.has("#zones-text-wrong", "overlap")
	a = s.sendForm(p, "#editor", "text", list.String(), "source", "their chart", "do", "show").is(200)
	a.has("#read", "199 ranges")
	a.has("#read", "* beside 1 zone")
	if a := s.sendForm(a, "#editor", "do", "keep"); a.status != 422 {
		t.Errorf("kept though a mark is in doubt: %d", a.status)
	}
	s.leads(s.sendForm(a, "#editor", "sure", "1", "do", "keep"), "/studio/zones?said=zones")
	if got, estimated := zone(); got != other || estimated {
		t.Errorf("planned by zone %s (estimated: %v), want %s", got, estimated, other)
	}
	p = s.get("/studio/zones").is(200)
	p.has("#used", "by the list that you pasted")
	s.submit(p, "#used form").has("#used", "estimated by distance")
	if got, estimated := zone(); got != guessed || !estimated {
		t.Errorf("after it was taken out: zone %s, estimated: %v", got, estimated)
	}
	if err := pricecards.DropZones(s.ctx(), s.studio, "domestic"); err == nil {
		t.Error("dropped twice")
	}
}
