package web

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"solander/book"
	"solander/money"
	"solander/order"
)

// sell types a sale of the open edition into the form.
func (s *site) sell(n int, name, email, street string, more ...string) answer {
	s.t.Helper()
	return s.post("/orders", append([]string{
		"outlet", "1", "ref", fmt.Sprint("R-", n), "buyer", name, "email", email, "lines[0].edition", "3",
		"ship_to.line1", street, "ship_to.city", "Denver", "ship_to.region", "CO", "ship_to.postcode", "80202", "ship_to.country", "US",
	}, more...)...).is(303)
}

// The form's door: fifty-two sales to one person make one buyer.
func TestFiftyTwoSalesByTheForm(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for n := range 52 {
		s.sell(n, []string{"Zoë Ødegård", "zoe  odegard"}[n%2], []string{"zoe@post.example", "ZOE@post.example"}[n/2%2], []string{"7 Mill Road", "9 Elm Street"}[n/4%2])
	}
	page := s.get("/buyers").is(200)
	page.has("tbody tr", "52")
	if n := len(page.find("tbody tr")); n != 1 {
		t.Errorf("%d buyers", n)
	}
}

// crowded is a studio in which buyers may be the same person.
func crowded(t *testing.T) *site {
	s := newSite(t)
	s.sell(1, "Zoë Ødegård", "zoe@post.example", "7 Mill Road")
	s.sell(2, "Odo Lund", "zoe@post.example", "9 Elm Street")
	s.sell(3, "Ada Quill", "", "12 Oak Street")
	s.sell(4, "Ada Quill", "", "12 Oak Street", "another", "1") // somebody else, she says
	for n := range 3 {
		s.sell(10+n, "Perpetua Featherstonehaugh-Cholmondeley", "perpetua.featherstonehaugh@gallery-of-prints.example", fmt.Sprint(n+1, " Long Acre"), "paid", "35.00")
	}
	_, err := book.TakeOrder(s.ctx(), s.studio, book.Sale{
		Outlet: 1, Buyer: order.Buyer{Name: "perpetua featherstonehaugh cholmondeley"}, ShipTo: order.Address{Name: "P", Line1: "1 Long Acre", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		Lines: []book.SaleLine{{Edition: 1}}, Rule: order.ProposeSame, Paid: money.Of(9000, "USD"),
	})
	s.must(err)
	return s
}

func TestBuyersOnThePages(t *testing.T) {
	t.Parallel()
	s := crowded(t)
	page := s.get("/buyers").is(200)
	if n := len(page.find("#likely form")); n != 2 {
		t.Fatalf("%d groups may be the same: %s", n, textOf(page.one("#matter")))
	}
	page.has("#likely", "the same e-mail address, another name")
	page.has("#likely", "the same name and address")
	page.hasNot("#likely input[checked]")
	s.get("/buyers?text=zoe").is(200).has("tbody tr", "Zoë Ødegård")
	s.get("/buyers?text=nobody").is(200).has("#matter", "No buyer is like that")
	s.post("/buyers/same", "deed", "same", "buyer", "1").is(422).has("#matter", "ewer than two")
	s.post("/buyers/same", "deed", "same", "buyer", "1", "buyer", "x").is(422)
	s.post("/buyers/same", "deed", "same", "buyer", "1", "buyer", "999").is(404)

	// not the same: remembered
	apart := s.leads(s.post("/buyers/same", "deed", "apart", "buyer", "2", "buyer", "1"), "/buyers/1?marked=")
	apart.hasNot("#likely")
	if n := len(s.get("/buyers").is(200).find("#likely form")); n != 1 {
		t.Errorf("%d groups are left", n)
	}

	// the same: one page for both, and undo on it
	same := s.leads(s.post("/buyers/same", "deed", "same", "buyer", "6", "buyer", "5"), "/buyers/5?marked=")
	same.has(".under", "4 orders")
	same.has("#prints", "1/250")
	same.has("#also", "perpetua featherstonehaugh")
	if a := s.get("/buyers/6"); a.status != 303 || a.location != "/buyers/5" {
		t.Errorf("the other's page: %d to %s", a.status, a.location)
	}
	number := s.get("/editions/1/numbers/1").is(200)
	number.has("#matter", "Perpetua Featherstonehaugh-Cholmondeley")
	undo := attr(same.one(".said form"), "action")
	s.leads(s.post(undo, "back", "/buyers/5"), "/buyers/5").has("#likely", "perpetua")
	s.get("/editions/1/numbers/1").is(200).has("#matter", "perpetua featherstonehaugh cholmondeley")

	// parted: a buyer of their own
	s.post("/buyers/5/part").is(422).has("#part", "")
	parted := s.leads(s.post("/buyers/5/part", "order", "S-1006", "buyer", "Pia Long"), "/buyers/7?marked=")
	parted.has("h1", "Pia Long")
	s.post("/buyers/5/part", "order", "S-1001").is(409)
	if !strings.Contains(textOf(s.get("/orders").is(200).one("#matter")), "Pia Long") {
		t.Error("the list of orders does not name her")
	}
}

// Two people taken for one are worse than one left as two: who may be the same is ticked only where e-mail address and name are the same.
func TestOnlyTheSameMailAndNameIsTicked(t *testing.T) {
	t.Parallel()
	s := crowded(t)
	v, err := book.TakeOrder(s.ctx(), s.studio, book.Sale{
		Outlet: 1, Buyer: order.Buyer{Name: "Zoe Odegard", Email: "ZOE@post.example"}, ShipTo: order.Address{Name: "Z", Line1: "1 Elm Street", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		Lines: []book.SaleLine{{Edition: 3}}, Rule: order.ProposeSame,
	})
	s.must(err)
	ticked := map[string]bool{}
	page := s.get("/buyers").is(200)
	for _, box := range page.find("#likely input[checked]") {
		ticked[attr(box, "value")] = true
	}
	if len(ticked) != 2 || !ticked["1"] || !ticked[fmt.Sprint(v.Buyer)] {
		t.Errorf("ticked are %v, want buyers 1 and %d alone: %s", ticked, v.Buyer, textOf(page.one("#likely")))
	}
	page.has("#likely", "Odo Lund") // the same address of another name stands there, not ticked
	s.get("/buyers/2").is(200).hasNot("#likely input[checked]")
	own := s.get("/buyers/1").is(200)
	if boxes := own.find("#likely input[checked]"); len(boxes) != 1 || attr(boxes[0], "value") != fmt.Sprint(v.Buyer) {
		t.Errorf("on her page %d are ticked", len(boxes))
	}
}

// The pages of buyers at the width of a desk and of a phone, with nobody, a few and a crowd.
func TestBuyersInTheBrowser(t *testing.T) {
	t.Parallel()
	for name, make := range map[string]func(*testing.T) *site{"nobody": newSite, "crowd": crowded} {
		t.Run(name, func(t *testing.T) {
			s := make(t)
			paths := []string{"/buyers"}
			if name == "crowd" {
				s.leads(s.post("/buyers/same", "deed", "same", "buyer", "6", "buyer", "5"), "/buyers/5")
				paths = append(paths, "/buyers/5", "/buyers/1", "/buyers?text=zoe", "/orders/new", "/orders", "/studio/feeds")
			}
			p, base := s.open()
			for _, path := range paths {
				for _, size := range []string{"desk", "phone"} {
					if p.Desk(); size == "phone" {
						p.Phone()
					}
					p.Go(base + path)
					fits(t, p, name+fileName.Replace(path), size)
				}
			}
		})
	}
}

func TestBuyerIsCorrected(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1003")
	s.must(err)
	path := fmt.Sprintf("/buyers/%d", v.BuyerData.ID)
	s.get("/orders/S-1003").has("a[href='"+path+"']", "Ada Quill")
	p := s.get(path).is(200)
	p.has("h1", "Ada Quill")
	p.has("th[data-head='Order']", "S-1003")
	s.leads(s.post(path, "buyer", "Ada Quill-Marsh", "email", "ada@example.org", "phone", "", "buyer_note", "collects herons"), path).has(".said", "saved")
	s.get("/orders/S-1003").has("h1", "Ada Quill-Marsh")
	s.post(path, "buyer", "", "email", "nowhere").is(422).one("#buyer-email")
	s.get(path).has("h1", "Ada Quill-Marsh")
	s.get("/buyers/999").is(404)
	s.get("/buyers/x").is(404)
}

func TestWhoHas(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	for _, q := range []string{"1/250 heron", "ada@example.org", "Denver", "S-1003", "Heron"} {
		a := s.get("/search?q=" + url.QueryEscape(q))
		if a.status == 303 { // an order found by its mark is opened
			continue
		}
		if !strings.Contains(textOf(a.is(200).root), "Ada Quill") && !strings.Contains(textOf(a.root), "Heron") {
			t.Errorf("%q finds nothing", q)
		}
	}
	if a := s.get("/search?q=S-1003"); a.location != "/orders/S-1003" {
		t.Errorf("a mark leads to %q", a.location)
	}
	s.get("/search?q=1%2F250+heron").has("td", "Ada Quill")
	s.get("/search?q=zzz").has(".under", "Nothing is like that")
}
