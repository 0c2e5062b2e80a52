package web

import (
	"strings"
	"testing"

	"solander/book"
	"solander/movein"
	"solander/order"
)

// A cash sale at the door is taken without an address, and handed over without a parcel, by forms alone.
func TestSaleInPerson(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := saleFields()
	for _, name := range []string{"ship_to.line1", "ship_to.city", "ship_to.region", "ship_to.postcode"} {
		fields = replaced(fields, name, "")
	}
	s.post("/orders", fields...).is(422).has(".faults", "Street and number")
	p := s.leads(s.post("/orders", replaced(fields, "in_person", "1")...), "/orders/S-1001")
	p.has("#h-to", "In person")
	p.has(".lacks li", "90.00 USD is still owed")
	p.has(".lacks li", "number 17 is not signed")
	for _, step := range p.find(".way li") {
		if w := textOf(step); strings.Contains(w, "pack") || strings.Contains(w, "label") || strings.Contains(w, "address") {
			t.Errorf("the way of a sale in person leads by %q", w)
		}
	}
	hand := "form[action='/orders/1/hand-in']"
	refused := s.post(attr(p.one(hand), "action"), "day", "")
	refused.is(409).has(".faults", "90.00 USD is still owed")
	refused.has(".faults", "number 17 is not signed") // all that is missing at once

	bench := s.submit(s.get("/"), "#money form")
	bench = s.submit(bench, "#sign form", "lines", attr(bench.one("#sign input[type=checkbox]"), "value"))
	bench.hasNot("#pack .task")
	bench.hasNot("#address .task")
	bench.has("#hand-over .task", "to hand over in person")
	p = s.submit(s.get("/orders/S-1001"), hand)
	p.has(".said", "handed over in person")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed || !v.Views[0].Sent || len(v.Parcels) != 0 {
		t.Errorf("the order is %s, sent %v, with %d parcels", v.State, v.Views[0].Sent, len(v.Parcels))
	}
	s.get("/editions/1/numbers/17").has("td", "handed over in person")
}

// An order without an address waits in a step of its own, and the page has the way to type it.
func TestAddressMissing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.leads(s.post("/orders", replaced(saleFields(), "in_person", "1")...), "/orders/S-1001")
	p = s.submit(p, "form[action='/orders/1/in-person']") // it is sent after all: the address that was typed is there
	p.has("address.block", "7 Mill Road")

	fields := saleFields()
	for _, name := range []string{"ship_to.line1", "ship_to.city", "ship_to.region", "ship_to.postcode"} {
		fields = replaced(fields, name, "")
	}
	fields = replaced(replaced(fields, "lines[0].number", "18"), "in_person", "1")
	p = s.leads(s.post("/orders", replaced(fields, "paid", "90.00")...), "/orders/S-1002")
	p = s.submit(p, "form[action='/orders/2/in-person']")
	p.has("p.caution", "address is missing")
	p.has(".lacks li", "is not signed")
	p.hasNot("form[action='/orders/2/pack']")
	bench := s.get("/")
	bench.has("#address .what", "the address is missing")
	bench.has("#address a[href='/orders/S-1002#h-to']", "Write the address")
	s.get("/orders?stage=address").is(200)
	s.post("/orders/2/pack", "total", "").is(409).has(".faults", "the address is missing")
	p = s.submit(p, "form[action='/orders/2/address']", "ship_to.name", "Mara Vell", "ship_to.line1", "7 Mill Road", "ship_to.city", "Denver", "ship_to.region", "CO", "ship_to.postcode", "80202", "ship_to.country", "US")
	p.has("address.block", "7 Mill Road")
	s.get("/").hasNot("#address .task")
}

// What having no colour and no word means is asked on the page about the columns, and kept with the reading.
func TestReadingAsksAboutEmptyStates(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	up := s.upload("book.csv", []byte("Date,Who,Picture,Size,No.,Price,State\n3/14/2025,Edda Quill,Reeds,12 x 16 in,17/80,95.00,posted\n4/2/2026,Odo Marsh,Reeds,12 x 16 in,18/80,110.00,\n"))
	p := s.get(up.location).is(200)
	p.has("label", "An empty cell is")
	trial := s.submit(p, "form[action='"+up.location+"']", "outlet", "Own site", "days", "md")
	trial.has("#questions label", "What does an empty cell under State mean?")
	p = s.get(up.location)
	trial = s.submit(p, "form[action='"+up.location+"']", "no_word", "paid")
	trial.hasNot("#questions")
	if a, err := movein.Arrivals(s.ctx(), s.studio); err != nil || a[0].Mapping == nil || a[0].Mapping.NoWord != "paid" {
		t.Errorf("kept %+v (%v)", a, err)
	}
	s.get(up.location).has("select option[selected]", "")
}

// The trial tells how many orders come in without an address, how many of them are not paid, and in what the problems of a
// group are alike.
func TestTrialTellsWhatTheBenchWillAsk(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	up := s.upload("book.csv", []byte("Date,Who,Picture,Size,No.,Price,State\n3/14/2025,Edda Quill,Reeds,12 x 16 in,17/80,95.00,posted\n4/2/2026,Odo Marsh,Reeds,12 x 16 in,18/80,110.00,\n4/3/2026,Tam Reed,Low tide,12 x 16 in,3/60,110.00,\n"))
	trial := s.submit(s.get(up.location), "form[action='"+up.location+"']", "outlet", "Own site", "days", "md", "no_word", "waiting")
	trial.hasNot("#sum strong")
	trial.has("#problems h3", "Holds an order back: … is not declared yet: its paper, its grade, its limit to be confirmed")
	trial = s.submit(trial, "form[action='"+up.location+"/answers']", "a.declare.*.grade", "fine", "a.declare.*.paper", "cotton rag, 310 gsm", "confirm-all", "1")
	trial.has("#sum strong", "2 orders still to be sent have no address.")
	trial.has("#sum strong", "2 orders still to be sent are not paid in full")
}
