package web

import (
	"testing"
	"time"

	"solander/house"
	"solander/register"
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
