package web

import (
	"net/url"
	"strings"
	"testing"

	"solander/measure"
	"solander/pricecards"
	"solander/tariff"
)

// The editor of a price card works by its buttons alone: a limit and a surcharge are added, moved and taken out before anything is kept;
// a card that comes with the program stays, and a copy of the studio's own takes its place.
func TestCardEditor(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := "/studio/cards/edit?id=" + commercial + "&service=ground-commercial"
	p := s.get(at).is(200)
	p.has("#kept", "steps by mass in 9 zones")
	limits, fees := len(p.find("#limits li")), len(p.find("#fees li"))
	a := s.sendForm(p, "#editor", "do", "limits.add", "limits.new", "length+width+height").is(200)
	if len(a.find("#limits li")) != limits+1 {
		t.Fatalf("%d limits, there were %d", len(a.find("#limits li")), limits)
	}
	a = s.sendForm(a, "#editor", "do", "surcharges.add", "surcharges.new", "mass").is(200)
	if len(a.find("#fees li")) != fees+1 {
		t.Fatalf("%d surcharges, there were %d", len(a.find("#fees li")), fees)
	}
	last := func(list string, n int) string { return list + "[" + string(rune('0'+n)) + "]." }
	limit, fee := last("limits", limits), last("surcharges", fees)
	typed := []string{"to", "2026-06-30", limit + "max", "90 in", fee + "name", "heavy", fee + "amount", "3.50", fee + "when[0].over", "50 lb", "do", "save"}
	if bad := s.sendForm(a, "#editor", typed[4:]...); bad.status != 422 || !strings.Contains(textOf(bad.one("#limits")), "has no number") {
		t.Errorf("a limit without a number was kept, or not told beside it: %d %s", bad.status, textOf(bad.one("main .faults")))
	}
	if bad := s.sendForm(a, "#editor", append([]string{limit + "max", "ninety"}, typed[4:]...)...); bad.status != 422 {
		t.Errorf("a limit of ninety was taken: %d", bad.status)
	}
	s.leads(s.sendForm(a, "#editor", typed...), "/studio/cards/edit?"+url.Values{"id": {commercial}, "service": {"ground-commercial"}}.Encode()+"&said=card-edit")
	kept, err := pricecards.Card(s.ctx(), s.studio, commercial)
	s.must(err)
	ground := kept.Service("ground-commercial")
	l, f := ground.Limits[limits], ground.Surcharges[fees]
	if l.Measure != tariff.LengthWidthHeight || l.Max == nil || *l.Max != int64(90*measure.Inch) {
		t.Errorf("the limit is %+v", l)
	}
	if f.Name != "heavy" || f.Amount != 350 || f.ID != "own-1" || len(f.When) != 1 || f.When[0].Measure != tariff.MassOf || *f.When[0].Over != int64(50*measure.Pound) {
		t.Errorf("the surcharge is %+v", f)
	}
	if !strings.HasSuffix(kept.Note, "Changed by "+s.artist()+".") || kept.To.String() != "2026-06-30" {
		t.Errorf("%q, till %s", kept.Note, kept.To)
	}
	p = s.get(at).is(200)
	p.has(".under", "This card is yours")

	// Another window: what was typed on a page of before is told, not lost and not taken.
	s.leads(s.sendForm(p, "#editor", limit+"max", "91 in", "do", "save"), "/studio/cards/edit?"+url.Values{"id": {commercial}, "service": {"ground-commercial"}}.Encode()+"&said=card-edit")
	if late := s.sendForm(p, "#editor", limit+"max", "92 in", "do", "save"); late.status != 409 {
		t.Errorf("typed over another window: %d", late.status)
	}
	a = s.sendForm(s.get(at), "#editor", "do", "limits.drop.0").is(200)
	s.leads(s.sendForm(a, "#editor", "do", "save"), "/studio/cards/edit?"+url.Values{"id": {commercial}, "service": {"ground-commercial"}}.Encode()+"&said=card-edit")
	if kept, err = pricecards.Card(s.ctx(), s.studio, commercial); err != nil || len(kept.Service("ground-commercial").Limits) != limits {
		t.Errorf("%d limits: %v", len(kept.Service("ground-commercial").Limits), err)
	}

	// Days of another card are asked back.
	if bad := s.sendForm(s.get("/studio/cards/edit?id=us-usps-retail-2025-07-13"), "#editor", "to", "2025-10-20", "do", "save"); bad.status != 422 {
		t.Errorf("days of the next card were taken: %d", bad.status)
	} else {
		bad.has("#edit-to-wrong", "these days are held by")
	}
	s.must(pricecards.DropCard(s.ctx(), s.studio, commercial))
	s.get(at).is(200).has(".under", "comes with the program")
}

func (s *site) artist() string {
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	return set.Artist
}
