package api

import (
	"net/http"
	"strings"
	"testing"

	"solander/book"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/measure"
	"solander/studio"
	"solander/weighing"
)

func TestAnOrderFromTakingToReading(t *testing.T) {
	d := newDesk(t)
	a := d.call(sent{method: "POST", path: "/api/v1/orders", body: `{"ref": "Z/1 ü", "buyer": {"name": "Ada Quill", "email": "ada@example.org", "phone": "1"},
		"ship_to": {"name": "A. Quill", "line1": "12 Oak Street", "city": "Denver", "region": "CO", "postcode": "80202", "country": "us"},
		"lines": [{"edition": 1, "number": "17"}, {"edition": 1}, {"edition": 3, "price": {"minor": 3000, "currency": "USD"}}],
		"postage": {"minor": 500, "currency": "USD"}, "paid": {"minor": 9000, "currency": "USD"}, "placed": "2026-04-13", "gift_message": "for you"}`}).is(201)
	for at, want := range map[string]string{
		"/ref": "Z/1 ü", "/mark": "S-1001", "/state": "open", "/placed": "2026-04-13", "/buyer/name": "Ada Quill", "/ship_to/name": "A. Quill", "/ship_to/country": "US",
		"/lines/0/number": "17/250", "/lines/1/number": "1/250", "/lines/1/title": "Heron at dusk", "/lines/2/price/minor": "3000", "/lines/2/number": "<nothing>",
		"/due/minor": "21500", "/paid/minor": "9000", "/owed/minor": "12500", "/payments/0/kind": "deposit", "/gift_message": "for you", "/parcels": "[]",
	} {
		a.has(at, want)
	}
	if got := a.header.Get("Location"); got != "/api/v1/orders/Z%2F1%20%C3%BC" {
		t.Errorf("the order is at %q", got)
	}
	b := d.call(sent{method: "GET", path: a.header.Get("Location")}).is(200)
	if a.text != b.text || a.header.Get("ETag") != b.header.Get("ETag") || b.header.Get("ETag") == "" {
		t.Errorf("read again it is %s %s, was %s %s", b.text, b.header.Get("ETag"), a.text, a.header.Get("ETag"))
	}
	v, err := book.OrderByMark(d.ctx(), d.studio, "S-1001")
	d.must(err)
	if who := v.Marks[0].Who; who != "feed everything" {
		t.Errorf("the journal says that %q did it", who)
	}
	d.call(sent{method: "GET", path: "/api/v1/orders/Z2"}).problem(404, "missing")
	d.call(sent{method: "GET", path: "/api/v1/editions"}).is(200).has("/editions/0/unsold", "248").has("/editions/0/price/minor", "9000").has("/editions/0/size", "12 × 16 in")
}

// What a parcel weighed is told with its order.
func TestAParcelTellsWhatItWeighed(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	v, err := book.OrderByMark(d.ctx(), d.studio, "S-1001")
	d.must(err)
	parcel := studio.Parcel{Order: v.ID, Lines: []int64{v.Live()[0].ID}, State: studio.Packed}
	d.must(d.studio.Store.Write(d.ctx(), func(tx studio.Tx) error { parcel.ID, err = tx.AddParcel(parcel); return err })) // this studio has no shelf to pack from
	order := sent{method: "GET", path: "/api/v1/orders/A-1"}
	d.call(order).is(200).has("/parcels/0/state", "packed").has("/parcels/0/weighed", "<nothing>")
	_, err = weighing.Weigh(d.ctx(), d.studio, weighing.WeighIn{Parcel: parcel.ID, Mass: 412_300 * measure.Milligram})
	d.must(err)
	d.call(order).is(200).has("/parcels/0/weighed", "412.3 g")
}

// What the papers cannot print, or an address that may be wrong, is told with the order, which is taken.
func TestDoubtsAreToldWithTheOrder(t *testing.T) {
	d := newDesk(t)
	a := d.call(sent{method: "POST", path: "/api/v1/orders", body: `{"ref": "K-1", "buyer": {"name": "অমল Hanako"}, "ship_to": {"line1": "12 Oak Street", "city": "Denver", "region": "CO", "postcode": "94110", "country": "United States"},
		"lines": [{"edition": 1}], "gift_message": "አማርኛ"}`}).is(201).has("/ship_to/country", "US")
	for _, want := range []string{`"field":"ship_to.name"`, "অমল (Bengali)", `"field":"ship_to.postcode"`, `"field":"gift_message"`, "(Ethiopic)"} {
		if !strings.Contains(a.text, want) {
			t.Errorf("the answer does not say %s: %s", want, a.text)
		}
	}
	if b := d.call(sent{method: "POST", path: "/api/v1/orders", body: sale("K-2", heron)}).is(201); strings.Contains(b.text, "doubts") {
		t.Errorf("an order without doubts has them: %s", b.text)
	}
}

// A feed sees the orders of its own outlet alone.
func TestOtherOutletsAreNotSeen(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	other := d.outlet
	other.ID, other.Name = 0, "Another fair"
	other, err := house.SaveOutlet(d.ctx(), d.studio, other)
	d.must(err)
	f, err := feeds.AddFeed(d.ctx(), d.studio, feed.Feed{Name: "another", Outlet: other.ID, Scopes: feed.Scopes()})
	d.must(err)
	d.call(sent{method: "GET", path: "/api/v1/orders/A-1", token: "Bearer " + f.Token}).problem(404, "missing")
	pay := sent{method: "POST", path: "/api/v1/orders/A-1/payments", token: "Bearer " + f.Token, body: `{"amount": {"minor": 1, "currency": "USD"}}`}
	d.call(pay).problem(404, "missing")
	d.call(sent{method: "POST", path: "/api/v1/orders", token: "Bearer " + f.Token, body: sale("A-1", heron)}).is(201) // its own A-1
}

func TestChangesNeedTheStateThatWasSeen(t *testing.T) {
	d := newDesk(t)
	seen := d.take("A-1").header.Get("ETag")
	path := "/api/v1/orders/A-1"
	body := `{"note": "ring twice", "promised": "2026-04-30", "postage": {"minor": 700, "currency": "USD"}}`
	d.call(sent{method: "PATCH", path: path, body: body}).problem(428, "").has("/errors/0/header", "If-Match")
	d.call(sent{method: "PATCH", path: path, body: body, match: `"0123456789abcdef01234567"`}).problem(412, "changed")
	d.call(sent{method: "PATCH", path: path, body: body, match: "W/" + seen}).problem(412, "changed") // a weak tag matches nothing
	a := d.call(sent{method: "PATCH", path: path, body: body, match: `"x", ` + seen}).is(200).has("/note", "ring twice").has("/promised", "2026-04-30").has("/postage/minor", "700")
	d.call(sent{method: "PATCH", path: path, body: `{"note": "late"}`, match: seen}).problem(412, "changed")
	b := d.call(sent{
		method: "PUT", path: path + "/address", match: a.header.Get("ETag"),
		body: `{"name": "Bo Quill", "line1": "1 Elm", "city": "Boulder", "region": "CO", "postcode": "80301", "country": "US"}`,
	}).is(200).has("/ship_to/city", "Boulder")
	d.call(sent{method: "PUT", path: path + "/buyer", match: b.header.Get("ETag"), body: `{"name": "Adelaide Quill"}`}).is(200).has("/buyer/name", "Adelaide Quill").has("/buyer/email", "<nothing>")
	d.call(sent{method: "PATCH", path: path, body: `{"note": "any"}`, match: "*"}).is(200)
	d.call(sent{method: "PUT", path: path + "/address", match: "*", body: `{"line1": "", "city": "Boulder", "region": "CO", "postcode": "80301 or thereabouts", "country": "US"}`}).
		problem(422, "invalid").has("/errors/0/pointer", "#/name").has("/errors/1/pointer", "#/line1").has("/errors/2/pointer", "#/postcode")
	d.call(sent{method: "PUT", path: path + "/buyer", match: "*", body: `{"name": ""}`}).problem(422, "invalid").has("/errors/0/pointer", "#/name")
}

func TestPayments(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	pay := func(body string) answered {
		return d.call(sent{method: "POST", path: "/api/v1/orders/A-1/payments", body: body})
	}
	pay(`{"amount": {"minor": 4000, "currency": "USD"}, "note": "half"}`).is(201).has("/owed/minor", "5000").has("/payments/0/kind", "deposit")
	pay(`{"amount": {"minor": 5001, "currency": "USD"}}`).problem(409, "refused").has("/errors/0/pointer", "#/amount").has("/errors/0/mend", "enter 50.00 USD at most").has("/errors/0/where", "S-1001")
	pay(`{"amount": {"minor": 100, "currency": "EUR"}}`).problem(422, "invalid").has("/errors/0/pointer", "#/amount")
	pay(`{"amount": {"minor": 5000, "currency": "USD"}, "kind": "gift"}`).problem(422, "invalid").has("/errors/0/pointer", "#/kind")
	pay(`{"amount": {"minor": 5000, "currency": "USD"}, "how": "shells"}`).problem(422, "invalid").has("/errors/0/pointer", "#/how")
	pay(`{"amount": {"minor": 5000, "currency": "USD"}}`).is(201).has("/owed/minor", "0").has("/payments/1/kind", "balance")
	pay(`{"amount": {"minor": 9001, "currency": "USD"}, "kind": "refund"}`).problem(409, "refused").has("/errors/0/pointer", "#/amount")
	pay(`{"amount": {"minor": 1000, "currency": "USD"}, "kind": "refund"}`).is(201).has("/owed/minor", "1000")
}

// Two calls under two keys note the same money back once, when they say what they saw, by the sum that had been paid or by the order's tag; whoever
// says nothing is asked nothing. A feed that may not read orders is told no sum.
func TestTheSameMoneyIsNotedOnce(t *testing.T) {
	d := newDesk(t)
	d.take("A-1")
	pay := func(match, more string) answered {
		return d.call(sent{method: "POST", path: "/api/v1/orders/A-1/payments", match: match, body: `{"amount": {"minor": 1000, "currency": "USD"}` + more + `}`})
	}
	first := pay("", `, "seen": {"minor": 0, "currency": "USD"}`).is(201).has("/paid/minor", "1000")
	pay("", `, "seen": {"minor": 0, "currency": "USD"}`).problem(412, "changed").has("/errors/0/detail", "10.00 USD of it are paid meanwhile, and 0.00 USD were when this was opened")
	pay("", `, "seen": {"minor": 1000, "currency": "EUR"}`).problem(412, "changed")
	pay("", `, "kind": "refund", "seen": {"minor": 1000, "currency": "USD"}`).is(201).has("/paid/minor", "0")
	pay(first.header.Get("ETag"), ``).problem(412, "changed")
	now := d.call(sent{method: "GET", path: "/api/v1/orders/A-1"}).header.Get("ETag")
	pay(now, ``).is(201).has("/paid/minor", "1000")
	pay(now, ``).problem(412, "changed")
	pay("*", ``).is(201).has("/paid/minor", "2000")
	blind := d.newFeed("blind", feed.PaymentsWrite)
	told := d.call(sent{method: "POST", path: "/api/v1/orders/A-1/payments", token: "Bearer " + blind.Token, body: `{"amount": {"minor": 1000, "currency": "USD"}, "seen": {"minor": 0, "currency": "USD"}}`}).problem(409, "refused")
	if strings.Contains(told.text, "20.00") {
		t.Errorf("it is told %s", told.text)
	}
}

// What is wrong is told field by field, where it stands in the body.
func TestFieldsOfFaults(t *testing.T) {
	d := newDesk(t)
	a := d.call(sent{method: "POST", path: "/api/v1/orders", body: `{"ref": " ", "buyer": {"name": "", "email": "nobody"},
		"ship_to": {"line1": "1 Elm", "city": "Boulder", "postcode": "80301", "country": "XX"}, "lines": [{"edition": 1}, {"edition": 0, "price": {"minor": -1, "currency": "USD"}}]}`}).problem(422, "invalid")
	for _, want := range []string{"#/ref", "#/buyer/name", "#/buyer/email", "#/ship_to/country", "#/lines/1/edition", "#/lines/1/price"} {
		if !strings.Contains(a.text, `"pointer":"`+want+`"`) {
			t.Errorf("no fault at %s: %s", want, a.text)
		}
	}
	one := func(body, pointer, word string) {
		t.Helper()
		a := d.call(sent{method: "POST", path: "/api/v1/orders", body: body}).problem(422, "invalid").has("/errors/0/pointer", pointer)
		if !strings.Contains(a.at("/errors/0/detail"), word) {
			t.Errorf("it says %q, without %q", a.at("/errors/0/detail"), word)
		}
	}
	good := sale("A-9", heron)
	one(strings.Replace(good, `"ref"`, `"reff"`, 1), "#/reff", "no field")
	one(strings.Replace(good, `"ref"`, `"Ref"`, 1), "#/Ref", "no field")
	one(strings.Replace(good, `"email"`, `"e.mail"`, 1), "#/buyer/e.mail", "no field")
	one(strings.Replace(good, `"edition": 1`, `"edition": 1, "edition": 2`, 1), "#/lines/0/edition", "twice")
	one(strings.Replace(good, `"edition": 1`, `"edition": "1"`, 1), "#/lines/0/edition", "whole number")
	one(strings.Replace(good, `"edition": 1`, `"edition": 1.5`, 1), "#/lines/0/edition", "whole number")
	one(strings.Replace(good, `"edition": 1`, `"edition": 1, "number": "251"`, 1), "#/lines/0/number", "limit")
	for _, body := range []string{"", "{", "[]", `"x"`, good + "x", strings.Replace(good, "Ada", "\xff", 1), strings.Repeat("[", 9999)} {
		d.call(sent{method: "POST", path: "/api/v1/orders", body: body}).problem(422, "invalid")
	}
	d.call(sent{method: "POST", path: "/api/v1/orders", body: strings.Replace(good, `"edition": 1`, `"edition": 99`, 1)}).problem(404, "missing").has("/errors/0/pointer", "#/lines/0/edition")
	d.take("A-9")
	d.call(sent{method: "POST", path: "/api/v1/orders", body: good}).problem(409, "taken").has("/errors/0/pointer", "#/ref")
	v, err := book.Orders(d.ctx(), d.studio, studio.OrderQuery{}, "")
	d.must(err)
	if len(v.Rows) != 1 {
		t.Errorf("%d orders stand in the book", len(v.Rows))
	}
}

func TestSoldOut(t *testing.T) {
	d := newDesk(t)
	for _, ref := range []string{"1", "2", "3"} {
		d.call(sent{method: "POST", path: "/api/v1/orders", body: sale(ref, tide)}).is(201)
	}
	d.call(sent{method: "POST", path: "/api/v1/orders", body: sale("4", tide)}).problem(409, "refused").has("/errors/0/pointer", "#/lines/0/number")
	d.call(sent{method: "POST", path: "/api/v1/orders", body: strings.Replace(sale("5", heron), `"edition": 1`, `"edition": 1, "number": "2"`, 1)}).is(201)
	d.call(sent{method: "POST", path: "/api/v1/orders", body: strings.Replace(sale("6", heron), `"edition": 1`, `"edition": 1, "number": "2"`, 1)}).problem(409, "taken")
}

func TestTheSameKey(t *testing.T) {
	d := newDesk(t)
	first := sent{method: "POST", path: "/api/v1/orders", key: "k 1", body: sale("A-1", heron)}
	a := d.call(first).is(201)
	same := func(what string) {
		t.Helper()
		if b := d.call(first).is(201); a.text != b.text || a.header.Get("ETag") != b.header.Get("ETag") || a.header.Get("Location") != b.header.Get("Location") {
			t.Errorf("%s: it is answered %s, was %s", what, b.text, a.text)
		}
	}
	same("again")
	d.call(sent{method: "PATCH", path: "/api/v1/orders/A-1", body: `{"note": "later"}`, match: "*"}).is(200)
	same("after a change")
	for name, other := range map[string]sent{
		"another body": {method: "POST", path: first.path, key: "k 1", body: sale("A-2", heron)},
		"spaces":       {method: "POST", path: first.path, key: "k 1", body: sale("A-1", heron) + " "},
		"another path": {method: "POST", path: "/api/v1/orders/A-1/payments", key: "k 1", body: `{"amount": {"minor": 1, "currency": "USD"}}`},
	} {
		if a := d.call(other); a.code != http.StatusConflict || a.at("/errors/0/header") != "Idempotency-Key" {
			t.Errorf("%s: it answers %d %s", name, a.code, a.text)
		}
	}
	// What failed did nothing, and its key is free: the mended request may have it.
	bad := sent{method: "POST", path: "/api/v1/orders", key: "k 2", body: sale("A-3", 99)}
	d.call(bad).problem(404, "missing")
	bad.body = sale("A-3", heron)
	d.call(bad).is(201)
	// Another feed has keys of its own.
	other := d.newFeed("second", feed.OrdersWrite)
	d.call(sent{method: "POST", path: "/api/v1/orders", key: "k 1", token: "Bearer " + other.Token, body: sale("A-4", heron)}).is(201)
	for _, key := range []string{"-", strings.Repeat("k", 201), "tab\tkey"} {
		d.call(sent{method: "POST", path: "/api/v1/orders", key: key, body: sale("A-5", heron)}).problem(422, "invalid").has("/errors/0/header", "Idempotency-Key")
	}
	d.clock.add(24 * 60 * 60 * 1e9)
	same("a day later")
}
