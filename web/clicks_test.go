package web

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"solander/book"
	"solander/charging"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// A hand is somebody at the pages who reads and types as she likes, and whose clicks are counted: a link, a button, a box ticked or a choice
// made is one each. It sends what a browser without JavaScript sends.
type hand struct {
	*site
	page   answer
	clicks int
}

func (h *hand) follow(path string) {
	h.t.Helper()
	var there bool
	for _, a := range h.page.find("a[href]") {
		there = there || strings.SplitN(attr(a, "href"), "#", 2)[0] == path
	}
	if !there {
		h.t.Fatalf("no link leads to %s from %.1500s", path, textOf(h.page.root))
	}
	h.clicks++
	h.page = h.get(path).is(200)
}

// press presses a button of a form, having typed the fields; ticked and chosen are what of it is clicked, not typed.
func (h *hand) press(form, button, value string, clicked int, fields ...string) {
	h.t.Helper()
	all := h.page.find(form)
	if len(all) == 0 {
		h.t.Fatalf("there is no %s in %.1500s", form, textOf(h.page.root))
	}
	fm := all[0] // the next deed stands first
	to, found := attr(fm, "action"), button == ""
	for n := range fm.Descendants() {
		if n.Type == html.ElementNode && n.Data == "button" && attr(n, "name") == button && (value == "" || attr(n, "value") == value) {
			found = true
			if other := attr(n, "formaction"); other != "" {
				to = other
			}
			value = attr(n, "value")
			break
		}
	}
	if !found {
		h.t.Fatalf("there is no button %s=%s in %s", button, value, form)
	}
	sent := merged(fieldsOf(fm), fields...)
	if button != "" {
		sent = merged(sent, button, value)
	}
	h.clicks += 1 + clicked
	to, _, _ = strings.Cut(to, "#")
	a := h.post(to, sent...)
	if a.status == 303 {
		a = h.get(a.location)
	}
	h.page = a.is(200)
}

// aMail is an outlet's mail, invented.
const aMail = `Hello,
a print was sold.
Order: W-2231
1 x Heron at dusk, 12 x 16 in, 17/250
Price: $95.00
Shipping: $12.50

Ship to:
Odo Marsh
9 Elm Street
Denver, CO 80202
USA
Email: odo@example.org
See you soon!`

// From a pasted mail of one print to the saved order in five clicks at most, the bench being where she begins; number, price and what it costs
// to send stand there before she saves.
func TestPastedMailInFiveClicks(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	h := &hand{site: s, page: s.get("/")}
	h.follow("/orders/new")
	h.press("form.newsale", "apart", "1", 0, "paste", aMail)
	p := h.page
	for field, want := range map[string]string{"ship_to-line1": "9 Elm Street", "ship_to-city": "Denver", "ship_to-region": "CO", "ship_to-postcode": "80202", "buyer": "Odo Marsh", "email": "odo@example.org", "ref": "W-2231", "postage": "12.50", "lines-0--number": "17", "lines-0--price": "95.00"} {
		if v := attr(p.one("#sale-"+field), "value"); v != want {
			t.Errorf("%s is %q, want %q", field, v, want)
		}
	}
	p.has("#sale-ship_to-line1-hint", "from “9 Elm Street”")
	p.has(".unread li", "See you soon!")
	p.has("#comes .fig", "17/250")
	p.has("#comes dl", "107.50 USD")
	p.has("#comes dt", "Costs to send")
	if n := len(s.orders()); n != 0 {
		t.Fatalf("%d orders were made by looking", n)
	}
	h.press("form.newsale", "", "", 1, "outlet", "1") // the mail does not say which outlet it is of
	if h.clicks > 5 {
		t.Errorf("%d clicks, want 5 at most", h.clicks)
	}
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.Views[0].Label != "17/250" || v.Ref != "W-2231" || v.ShipTo.City != "Denver" || v.Due.Minor != 107_50 {
		t.Errorf("saved %s, %s, %+v, due %s", v.Views[0].Label, v.Ref, v.ShipTo, v.Due)
	}
	t.Logf("%d clicks", h.clicks)
}

// orders is the marks of all orders.
func (s *site) orders() []string {
	s.t.Helper()
	found, err := book.Orders(s.ctx(), s.studio, studio.OrderQuery{Limit: studio.MostPage}, "")
	s.must(err)
	var out []string
	for _, r := range found.Rows {
		out = append(out, r.Mark)
	}
	return out
}

// A buyer of the book is offered, by script and without, and taken with her address.
func TestKnownBuyerIsOffered(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/orders", saleFields()...), "/orders/S-1001")
	if a := s.get("/orders/new/buyers?q=mar").is(200); !strings.Contains(string(a.body), `"name":"Mara Vell"`) {
		t.Errorf("offered %s", a.body)
	}
	h := &hand{site: s, page: s.get("/orders/new")}
	h.press("form.newsale", "find", "1", 0, "buyer", "mara", "lines[0].edition", "1")
	h.page.has(".offers", "It is Mara Vell")
	h.press("form.newsale", "known", "", 0)
	if v := attr(h.page.one("#sale-ship_to-line1"), "value"); v != "7 Mill Road" {
		t.Errorf("her street is %q", v)
	}
	h.page.has("#comes .fig", "/250")
	h.press("form.newsale", "", "", 1, "outlet", "1")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1002")
	s.must(err)
	first, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.Buyer != first.Buyer {
		t.Errorf("buyer %d, want %d", v.Buyer, first.Buyer)
	}
}

// The till: a print chosen by its picture is sold, numbered, paid and gone in three clicks, and the next one in as many.
func TestTill(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, err := house.SaveOutlet(s.ctx(), s.studio, order.Outlet{Name: "Quay Gallery", Fees: charging.Simple(4000, money.Amount{}), PromiseDays: 10})
	s.must(err) // the last one; but who sells at her own table gives nothing away
	h := &hand{site: s, page: s.get("/till").is(200)}
	h.page.hasNot("form.filter option[selected]:last-child")
	at := attr(h.page.one("form.filter option[selected]"), "value")
	for i := range 2 {
		before := h.clicks
		h.follow("/till?outlet=" + at + "&edition=1")
		h.page.has(".till strong", "/250")
		h.press("form.till", "", "", 1, "how", "card", "paid_note", "reader 2")
		h.page.has(".said", "handed over in person")
		if n := h.clicks - before; n > 3 {
			t.Errorf("sale %d took %d clicks", i+1, n)
		}
	}
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1002")
	s.must(err)
	if v.State != order.Closed || !v.Owed.IsZero() || !v.Views[0].Sent || v.Payments[0].Note != "reader 2" || v.Payments[0].How != order.ByCard || len(v.Parcels) != 0 {
		t.Errorf("the second one stands %s, owed %s, paid %q", v.State, v.Owed, v.Payments[0].Note)
	}
	s.post("/till", "outlet", at, "lines[0].edition", "1", "lines[0].number", "999", "lines[0].price", "").is(422).has(".faults", "beyond the limit")
}

// She takes it with her: one form of a new sale, without an address.
func TestSheTakesItWithHer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	h := &hand{site: s, page: s.get("/orders/new")}
	h.press("form.newsale", "", "", 3, "lines[0].edition", "1", "outlet", "1", "takes_it", "1")
	h.page.has(".said", "handed over in person")
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed || !v.Owed.IsZero() || !v.Views[0].Sent {
		t.Errorf("it stands %s, owed %s", v.State, v.Owed)
	}
}

// From the first page of an empty place to a parcel that is handed over: sixteen clicks at most besides typing, each page leading to the
// next by what it shows. A choice made in a list is a click; what is typed is not, nor the grade: of a list in which nothing is chosen a
// browser sends the first.
func TestFromNothingToAParcelInSixteenClicks(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	if a := s.get("/"); a.location != "/set-up" {
		t.Fatalf("an empty place leads to %q", a.location)
	}
	const form = "#matter form[action='/set-up']"
	h := &hand{site: s, page: s.get("/set-up")}
	h.press(form, "go", "next", 1, "studio", "Marsh Lane Press", "artist", "Ines Corrow", "ship_to.name", "Marsh Lane Press", "ship_to.line1", "4 Marsh Lane",
		"ship_to.city", "Roanoke", "ship_to.region", "VA", "ship_to.postcode", "24011", "time_zone", "America/New_York")
	h.press(form, "go", "next", 0)
	h.press(form, "go", "next", 1, "title", "Heron at dusk", "width", "11", "height", "14", "grade", "fine", "known_paper", "1", "limit", "250", "price", "90", "sheets", "7")
	h.page.has("details[open] summary", "For 11 × 14 in: these")
	for _, n := range h.page.find(".proposed input[inputmode]") {
		if attr(n, "value") == "" {
			t.Errorf("no count is proposed for %s", attr(n, "name"))
		}
	}
	for _, n := range h.page.find("input[type=checkbox][checked]") {
		t.Errorf("%s is ticked already", attr(n, "name"))
	}
	h.press(form, "go", "use", 0)
	if ticked, all := len(h.page.find("input[type=checkbox][checked]")), len(h.page.find(".proposed input[type=checkbox]")); ticked != all || all < 3 {
		t.Errorf("%d of %d proposed are ticked", ticked, all)
	}
	h.press(form, "go", "next", 0)
	h.page.has("#next li", "sale")
	if n := len(h.page.find("#next li")); n != 3 {
		t.Errorf("the bench says %d things to do next", n)
	}
	h.follow("/orders/new")
	h.press("form.newsale", "add", "1", 0)
	h.press("form.newsale", "", "", 1, "outlet", "1", "buyer", "Odo Marsh", "ship_to.line1", "9 Elm Street", "ship_to.city", "Denver", "ship_to.region", "CO", "ship_to.postcode", "80202", "paid", "90.00")
	// From here on the page's first deed is the next one.
	for _, deed := range []string{"/sign", "/orders/1/pack", "/parcels/1/label"} {
		fields := []string{}
		if deed == "/parcels/1/label" {
			fields = []string{"tracking", "9400110200881234567896", "paid", "12.26"}
		}
		h.press("form[action='"+deed+"']", "", "", 0, fields...)
	}
	h.follow("/hand-over")
	h.press("form[action='/hand-over']", "", "", 0)
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed || !v.Views[0].Sent || len(v.Parcels) != 1 {
		t.Errorf("the order is %s, sent %v", v.State, v.Views[0].Sent)
	}
	if h.clicks > 16 {
		t.Errorf("%d clicks, want 16 at most", h.clicks)
	}
	t.Logf("%d clicks", h.clicks)
}
