package web

import (
	"strings"
	"testing"

	"solander/dispatch"
	"solander/measure"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/weighing"
)

// toLabel takes, signs and packs an order of one print, and returns its parcel.
func (s *site) toLabel() studio.Parcel {
	s.t.Helper()
	v := s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{v.Live()[0].ID}))
	parcels, err := dispatch.Pack(s.ctx(), s.studio, dispatch.PackIn{Order: v.ID})
	s.must(err)
	return parcels[0]
}

// A mass is noted with the label on the bench, or after it on the page of the order; what cannot be one stands beside its field; one above the
// step that its postage was found for is said at once.
func TestWeighingAParcel(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	pc := s.toLabel()
	for bad, says := range map[string]string{"0 g": "more than nothing", "-5 g": "", "40 kg": "more than any service takes", "0.1 oz": "times as light", "some": ""} {
		a := s.sendForm(s.get("/"), "#label form", "paid", "6.25", "weighed", bad)
		if a.status != 422 {
			t.Fatalf("%q was taken: %d", bad, a.status)
		}
		a.has("#label-1-weighed-wrong", says)
	}
	s.submit(s.get("/"), "#label form", "paid", "6.25") // it may stay empty
	p := s.get("/orders/1")
	p.has(".plan summary", "Note what it weighs")
	for bad, says := range map[string]string{"0 g": "more than nothing", "": "missing", "40 kg": "more than any service takes"} {
		a := s.sendForm(p, `form[action="/parcels/1/weigh"]`, "mass", bad)
		if a.status != 422 {
			t.Fatalf("%q was taken: %d", bad, a.status)
		}
		a.has("#weigh-1-mass-wrong", says)
	}
	light := (pc.Bare + measure.Gram).In(measure.Imperial)
	q := s.leads(s.sendForm(p, `form[action="/parcels/1/weigh"]`, "mass", light), "/orders/1")
	q.has(".said", "weighed "+light)
	q.has(".plan .facts", light)
	q.hasNot(".plan .caution")

	heavy := 2 * measure.Pound
	q = s.sendForm(q, `form[action="/parcels/1/weigh"]`, "mass", "2 lb")
	if !measureBetween(pc.Bare, heavy) {
		t.Fatalf("planned for %s: no case", pc.Bare)
	}
	q = s.leads(q, "/orders/1")
	q.has(".said", "the counter’s scale decides")
	s.get("/hand-over").has("td", "2 lb")
	q.has(".plan .caution", "USD more; the counter’s scale decides")
	q = s.submit(q, ".said form")
	q.has(".said", "taken back")
	s.get("/orders/1").hasNot(".plan .caution")
	s.post("/parcels/99/weigh", "mass", "1 lb").is(404)
}

func measureBetween(planned, heavy measure.Mass) bool { return planned < heavy && heavy <= 3*planned }

// Eight parcels of a wrap teach it: the bench says so once, with the button; the trial shows what it changes; taken, it is in the wrap and not
// said again; taken back, it is; left, it is not said, and may be taken all the same.
func TestAWrapThatLearns(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.must(stockroom.CountSheets(s.ctx(), s.studio, 1, 30, "more"))
	for n := range 8 {
		if len(s.get("/").find(".learnt")) > 0 {
			t.Errorf("told by %d parcels", n)
		}
		pc := s.toLabel()
		_, err := weighing.Weigh(s.ctx(), s.studio, weighing.WeighIn{Parcel: pc.ID, Mass: pc.Bare + measure.Ounce/2})
		s.must(err)
	}
	s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{9}))
	bench := s.get("/")
	if text := textOf(bench.one(".learnt")); !strings.Contains(text, "weigh 0.5 oz more than planned, from 8 parcels") {
		t.Errorf("the bench says %q", text)
	}
	trial := s.get(attr(bench.one(".learnt a"), "href")).is(200)
	trial.has("#trial tbody tr", "→")
	trial.has("#trial .deeds", "Leave it at 0 oz")
	s.get("/studio/wraps").has(".recipe", "8 parcels weighed: 0.5 oz more than planned")
	s.get("/studio/weighed?wrap=none").is(404)
	s.sendForm(trial, "#trial form", "do", "take", "then", "9 oz").is(409)

	q := s.leads(s.sendForm(bench, ".learnt", "do", "take"), "/")
	q.has(".said", "weighs 0.5 oz besides its layers from now on, not 0 oz")
	q.hasNot(".learnt")
	s.get("/studio/wraps").has(".recipe", "0.5 oz besides prints and layers")
	s.sendForm(trial, "#trial form", "do", "take").is(409) // there is nothing to learn any more
	q = s.submit(q, ".said form")
	q.has(".learnt", "0.5 oz more")

	q = s.leads(s.sendForm(s.get(attr(q.one(".learnt a"), "href")), "#trial form", "do", "leave"), "/studio/weighed")
	q.has(".said", "weighs 0 oz besides its layers still")
	q.has("td", "left as it is")
	s.get("/").hasNot(".learnt")
	s.sendForm(s.get(attr(q.one("td a"), "href")), "#trial form", "do", "take").is(303)
	s.get("/studio/wraps").has(".recipe", "0.5 oz besides prints and layers")
}
