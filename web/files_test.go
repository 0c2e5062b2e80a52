package web

import (
	"strings"
	"testing"
)

// Addresses go out in a layout of hers, labels come back: a look first, then all of them.
func TestPostageOutAndBack(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.post("/studio/layouts", "was", "", "name", "counter", "columns", "Ref = parcel\nTo = name\nKind = 'parcel'", "separator", "tab", "decimal", "point", "mass", "g",
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
	s.post("/studio/layouts", "was", "", "name", "x", "columns", "Ref", "separator", "tab").is(422).has("#faults a[href='#layout-columns']", "has no")
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
	s.get("/cards/x.vcf").is(404)
}
