package web

import (
	"strings"
	"testing"
	"time"
)

// Addresses go out in a layout of hers, labels come back: a look first, then all of them.
func TestPostageOutAndBack(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.post("/studio/layouts", "was", "", "name", "counter", "columns[0].heading", "Ref", "columns[0].field", "parcel",
		"columns[1].heading", "To", "columns[1].field", "name", "columns[2].heading", "Kind", "columns[2].field", "text", "columns[2].text", "parcel", "do", "save", "separator", "tab", "decimal", "point", "mass", "g",
		"length", "mm", "date", "YYYY-MM-DD", "back_mark", "Ref", "back_tracking", "No", "back_price", "Paid", "back_service", "").is(303)
	s.get("/studio/files").is(200).has("#postage", "Ref, To, Kind")
	csv := string(s.get("/postage/counter.csv").is(200).body)
	rows := strings.Split(csv, "\r\n")
	if rows[0] != "Ref\tTo\tKind" || len(rows) < 3 || !strings.HasSuffix(rows[1], "\tparcel") {
		t.Fatalf("%q", rows)
	}
	mark := strings.Split(rows[1], "\t")[0]
	s.post("/postage/back", "layout", "counter", "text", "No\tRef\n1\tS-9\n", "note", "").is(422).has("#faults", "Paid")
	bad := s.post("/postage/back", "layout", "counter", "text", "No\tRef\tPaid\n12345678\tS-9\t1\n", "note", "").is(200)
	bad.has("td", "does not exist")
	bad.hasNot("form[action='/postage/back'] [name='note'][value='1']")
	look := s.post("/postage/back", "layout", "counter", "text", "No\tRef\tPaid\r\nRB473124820US\t"+mark+"\t6.37\r\n", "note", "").is(200)
	look.has("#matter", "1 label to note, 0 problems")
	look.has("td", "Look at it: the check digit")
	order, _, _ := strings.Cut(mark, "/")
	if strings.Contains(string(s.get("/orders/"+order).is(200).body), "RB473124820US") {
		t.Error("a look noted the label")
	}
	s.post("/postage/back", fieldsOf(look.find("form[action='/postage/back']")[0])...).is(303)
	s.get("/orders/"+order).has("dd", "RB473124820US")
	s.post("/studio/layouts/drop", "name", "counter").is(303)
	s.get("/postage/counter.csv").is(404)
	s.post("/studio/layouts", "was", "", "name", "x", "columns[0].heading", "Ref", "columns[0].field", "colour", "separator", "tab", "do", "save").is(422).
		has("#faults", "")
}

// The calendar is read by its secret address alone, until there is another or none.
func TestTheAddressOfTheCalendar(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.get("/promises/.ics").is(404)
	s.get("/promises/x.ics").is(404)
	first := s.promised()
	a := s.get(first).is(200)
	if !strings.HasPrefix(string(a.body), "BEGIN:VCALENDAR\r\n") || !strings.Contains(string(a.body), "\r\nSUMMARY:Hand over S-") || strings.Contains(string(a.body), "Quill") {
		t.Errorf("%q", a.body)
	}
	if kind := a.header.Get("Content-Type"); kind != "text/calendar; charset=utf-8" {
		t.Error(kind)
	}
	second := s.promised()
	s.get(first).is(404)
	s.get(second).is(200)
	s.post("/promises/end").is(303)
	s.get(second).is(404)
	s.get("/promises.ics").is(200)
	if b := string(s.get("/cards/1.vcf").is(200).body); !strings.Contains(b, "BEGIN:VCARD\r\nVERSION:4.0\r\n") {
		t.Errorf("%q", b)
	}
	s.get("/cards/99.vcf").is(404)
	if secret := strings.TrimSuffix(strings.TrimPrefix(first, "/promises/"), ".ics"); strings.Contains(s.log.String(), secret) {
		t.Errorf("the log tells a secret: %s", s.log)
	}
}

// Wrong addresses of the calendar are counted and logged as wrong tokens are: once a minute, never with what was asked for.
func TestWrongAddressesOfTheCalendarAreCounted(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	now := noon
	s.studio.Clock = func() time.Time { return now }
	s.start()
	right := s.promised()
	guess := "/promises/" + strings.Repeat("A", 43) + ".ics"
	for range 50 {
		s.get(guess).is(404)
	}
	s.get(right).is(200)
	if n := strings.Count(s.log.String(), "level=WARN"); n != 1 {
		t.Errorf("%d lines are logged: %s", n, s.log)
	}
	now = now.Add(time.Minute)
	s.get(guess).is(404)
	got := s.log.String()
	if !strings.Contains(got, `msg="a calendar's address is not known" from=192.0.2.1 method=GET route=/promises/ count=50 "in all"=51`) {
		t.Errorf("it logs %s", got)
	}
	if strings.Contains(got, "AAAA") {
		t.Errorf("it logs what was asked for: %s", got)
	}
	s.get("/cards/x.vcf").is(404)
}
