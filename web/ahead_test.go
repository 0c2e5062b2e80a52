package web

import (
	"testing"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// waitingPair is a studio whose bench has an order to pack, and another of the same buyer whose print is to be signed: tomorrow both can go.
func waitingPair(t *testing.T) *site {
	t.Helper()
	s := newSite(t)
	s.studio.Times.Bench = time.Minute
	s.must(house.ChangeSettings(s.ctx(), s.studio, func(set *studio.Settings) error {
		set.Combine = true
		return nil
	}))
	v := s.sale(3, 3500)
	s.must(register.Sign(s.ctx(), s.studio, []int64{v.Views[0].ID}))
	s.sale(3, 3500)
	return s
}

// A row of the bench may wait; one click makes it, in a group of its own and on the page of the days ahead; another sends it after all. What is
// not as it was seen is refused on the page that it came from.
func TestAnOrderWaits(t *testing.T) {
	t.Parallel()
	s := waitingPair(t)
	bench := s.get("/").is(200)
	bench.has("#pack .task", "may wait until")
	bench.has("#pack .task", "with S-1002")
	bench = s.submit(bench, "#pack .how form")
	bench.has(".said", "S-1001 waits until")
	bench.hasNot("#pack .task")
	bench.has("#waits .task", "waits until")

	p := s.get("/ahead").is(200)
	p.has("#h-waits", "1")
	p.has("td", "waits until")
	p = s.submit(p, "td form")
	p.has(".said", "S-1001 is sent without waiting")
	p.has("td", "may wait until")
	p = s.submit(p, "td form")
	p.has("td", "waits until")

	bench = s.submit(s.get("/"), "#waits form")
	bench.has("#pack .task", "S-1001")
	bench.hasNot("#waits .task")
	s.post("/orders/1/send-today", "back", "bench").is(409).has(".faults", "nobody said that it waits")
	s.post("/orders/1/wait", "until", "2026-04-20", "back", "ahead").is(409).has("h1", "The days ahead")
	s.submit(s.get("/"), ".marks form").has("#waits .task", "S-1001")
}

// Without an order to send, the page says so; nothing is offered.
func TestNoDaysAhead(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/ahead").is(200).has(".under", "No order is ready to go")
}

// The last piece that an order of tomorrow needs is kept with one click, told on the page and with the order on the bench, and given up.
func TestAPieceIsKept(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.studio.Times.Bench = time.Minute
	v := s.sale(3, 3500)
	s.must(register.Sign(s.ctx(), s.studio, []int64{v.Views[0].ID}))
	outlets, err := house.Outlets(s.ctx(), s.studio)
	s.must(err)
	_, err = book.TakeOrder(s.ctx(), s.studio, book.Sale{
		Outlet: outlets[0].ID, Buyer: order.Buyer{Name: "Odo Fenn"},
		ShipTo: order.Address{Name: "Odo Fenn", Line1: "3 Mill Road", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		Lines:  []book.SaleLine{{Edition: 3}, {Edition: 3}}, Paid: money.Of(7000, "USD"),
	})
	s.must(err)
	plan, err := planning.Plan(s.ctx(), s.studio, v.ID, calendar.Day{})
	s.must(err)
	shelf, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	sleeve := ""
	for _, u := range plan.Plan.StockUsed {
		for _, it := range shelf {
			if it.Spec.ID == u.Item && it.Spec.Kind == packing.Sleeve {
				sleeve = u.Item
				s.must(stockroom.CountShelf(s.ctx(), s.studio, it.ID, 2, "two are left"))
			}
		}
	}
	takes := func() (n int) {
		plan, err := planning.Plan(s.ctx(), s.studio, v.ID, calendar.Day{})
		s.must(err)
		for _, u := range plan.Plan.StockUsed {
			if u.Item == sleeve {
				n += u.Count
			}
		}
		return n
	}
	took := takes()
	p := s.get("/ahead").is(200)
	p.has("#h-waits", "1")
	p.has("td", "goes Wed 15 Apr: keep 2 × ")
	p.has("td button", "Keep it of S-1002")
	p = s.submit(p, "td form")
	p.has(".said", "S-1002: 2 × ")
	p.has("td", "are kept for it until Wed 15 Apr")
	bench := s.get("/")
	bench.has("#sign", "are kept for it until Wed 15 Apr")
	if now := takes(); took != 1 || now != 0 {
		t.Errorf("the order of today takes %d sleeves, and took %d", now, took)
	}
	p = s.submit(s.get("/ahead"), "td form")
	p.has(".said", "S-1002: nothing is kept for it any more")
	s.submit(s.get("/"), ".marks form").has("#sign", "are kept for it")
}

// What is ordered of an item and when it is expected is asked on its page, kept, shown again and told on the days ahead; what comes in counts off.
func TestPiecesOrderedAreAsked(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const form = "form[action='/shelf/1']"
	p := s.get("/shelf/1").is(200)
	p.has(form+" label", "Pieces ordered")
	p.has(form+" label", "Expected")
	s.submit(p, form, "coming", "25", "expected", "2026-04-20")
	shown := func(coming, expected string) {
		t.Helper()
		p := s.get("/shelf/1").is(200)
		if a, b := attr(p.one(form+" [name=coming]"), "value"), attr(p.one(form+" [name=expected]"), "value"); a != coming || b != expected {
			t.Errorf("it shows %q pieces, expected %q; want %q, %q", a, b, coming, expected)
		}
	}
	shown("25", "2026-04-20")
	for _, bad := range [][2]string{{"-1", "2026-04-20"}, {"some", "2026-04-20"}, {"25", "soon"}, {"0", "2026-04-20"}} {
		s.sendForm(s.get("/shelf/1"), form, "coming", bad[0], "expected", bad[1]).is(422)
		shown("25", "2026-04-20")
	}
	s.post("/shelf/1/restock", "pieces", "10", "unit_cost", "").is(303)
	shown("15", "2026-04-20")
	s.post("/shelf/1/restock", "pieces", "15", "unit_cost", "").is(303)
	shown("0", "")
}
