package demo

import (
	"context"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// past writes the two years before the last weeks. It takes the same steps as the use cases, by the
// same rules of packages edition, order and supply, but without asking for each what the story knows
// already: so the demo is ready in a moment. The last weeks go through the use cases themselves.
//
// The artist does her book work on Tuesdays and Fridays; each such day is one transaction.
type past struct {
	*gen
	ctx     context.Context
	store   studio.Store
	clock   *Clock
	today   calendar.Day
	working calendar.Working
	packer  *packer

	outlets []order.Outlet
	works   []edition.Work
	stocks  []*stock // by place in the catalogue; nil before it is declared
	queue   []*chain // taken, not handed over
	sent    []*chain // handed over, and to come back
	runs    []*supply.Run
	events  map[int]int // how often each special event happened
	serial  int         // of parcels
	buyers  []known
	refs    int

	tx  studio.Tx
	day calendar.Day
}

// stock is an edition as the story sees it.
type stock struct {
	ed       edition.Edition
	c        declared
	standing map[edition.Number]edition.Standing
	sold     int
	onHand   int // sheets in the drawer
	coming   int // sheets ordered and not come
	claimed  int // sheets that orders in the queue need
}

// chain is one order on its way.
type chain struct {
	order.Order
	outlet  int
	due     calendar.Day // the rest is paid on this day; no day: it is paid
	signed  bool
	fate    fate
	comesOn calendar.Day // the day a returned one comes back
}

type fate int

const (
	isSent fate = iota
	isCancelled
	isReturned
)

// write runs a working day's book work in one transaction.
func (p *past) write(day calendar.Day, f func() error) error {
	p.day = day
	p.clock.turnTo(day, 16)
	ran := false
	return p.store.Write(p.ctx, func(tx studio.Tx) error {
		if ran {
			return fault.New(fault.Busy, "somebody else wrote into the studio while it was invented")
		}
		ran, p.tx = true, tx
		return f()
	})
}

// live writes the past day by day: placed holds the days of its sales, ascending; until is its last day.
func (p *past) live(placed []calendar.Day, until calendar.Day) error {
	for d := p.today.Add(-firstDay); !d.After(until); d = d.Add(1) {
		if wd := d.Weekday(); !p.working.Is(d) || wd != 2 && wd != 5 {
			continue
		}
		n := 0
		for n < len(placed) && !placed[n].After(d) {
			n++
		}
		if err := p.write(d, func() error { return p.bookDay(placed[:n]) }); err != nil {
			return fmt.Errorf("%s: %w", d, err)
		}
		placed = placed[n:]
	}
	return nil
}

func (p *past) bookDay(sales []calendar.Day) error {
	for _, step := range []func() error{p.declareDue, p.receiveDue, p.comeBack} {
		if err := step(); err != nil {
			return err
		}
	}
	for _, placed := range sales {
		if err := p.take(placed); err != nil {
			return err
		}
	}
	for _, step := range []func() error{p.settle, p.cancel, p.sign, p.handOver, p.reorder} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// declareDue declares the editions whose day has come and orders their first sheets.
func (p *past) declareDue() error {
	for i, c := range catalogue {
		if p.stocks[i] != nil || p.today.Add(-c.age).After(p.day) {
			continue
		}
		e := c.edition(p.works[c.work].ID, p.works[c.work].Title, p.today)
		e.Declared = p.day
		id, err := p.tx.Declare(e)
		if err != nil {
			return err
		}
		e.ID = id
		s := &stock{ed: e, c: c, standing: map[edition.Number]edition.Standing{}}
		p.stocks[i] = s
		p.packer.editions[id] = e
		if err := p.orderSheets(s, 8+2*(c.weight/10)); err != nil {
			return err
		}
	}
	return nil
}

// orderSheets orders a run from one of the labs.
func (p *past) orderSheets(s *stock, quantity int) error {
	r := supply.Run{
		Edition: s.ed.ID, Lab: labs[int(s.ed.ID)%len(labs)], Ordered: p.day, Expected: p.working.Add(p.day, 6+p.below(6)),
		Quantity: quantity, UnitCost: s.ed.PrintCost,
	}
	id, err := p.tx.AddRun(r)
	if err != nil {
		return err
	}
	r.ID = id
	p.runs = append(p.runs, &r)
	s.coming += quantity
	return nil
}

// receiveDue takes in the runs whose day has come; one in five has a reject.
func (p *past) receiveDue() error {
	var left []*supply.Run
	for _, r := range p.runs {
		if r.Expected.After(p.day) {
			left = append(left, r)
			continue
		}
		x := supply.Receipt{Run: r.ID, Day: p.day, Good: r.Quantity}
		if p.chance(20) {
			x.Good, x.Rejected, x.Note = r.Quantity-1, 1, pick(p.gen, []string{"banding along one edge", "crease in a corner", "colour cast"})
		}
		if err := p.receive(r, x); err != nil {
			return err
		}
	}
	p.runs = left
	return nil
}

func (p *past) receive(r *supply.Run, x supply.Receipt) error {
	if _, err := p.tx.AddReceipt(x); err != nil {
		return err
	}
	if err := p.tx.CloseRun(r.ID); err != nil {
		return err
	}
	s := p.stockOf(r.Edition)
	s.coming -= r.Quantity
	first := s.onHand == 0 && s.sold == 0
	if err := p.sheets(s, x.Good, fmt.Sprintf("run %d received", r.ID)); err != nil || !first || s.ed.Grade != "fine" {
		return err
	}
	return p.keepProofs(s)
}

// keepProofs puts the first artist's proof and the bon à tirer of a fine edition into the archive.
func (p *past) keepProofs(s *stock) error {
	for _, n := range []edition.Number{{Kind: edition.BAT, N: 1}, {Kind: edition.AP, N: 1}} {
		if s.ed.Count(n.Kind) == 0 {
			continue
		}
		if err := p.step(s, n, edition.Keep, 0, "", "for the archive"); err != nil {
			return err
		}
		if err := p.step(s, n, edition.Sign, 0, "", ""); err != nil {
			return err
		}
		if err := p.sheets(s, -1, n.Of(s.ed)+" of "+s.ed.Title+" kept"); err != nil {
			return err
		}
	}
	return nil
}

// sheets moves sheets in or out of the drawer.
func (p *past) sheets(s *stock, delta int, reason string) error {
	s.onHand += delta
	return p.tx.AddMove(supply.Move{Kind: supply.Sheets, Of: s.ed.ID, Delta: delta, Reason: reason, Day: p.day, At: p.clock.Now(), Who: artist})
}

func (p *past) stockOf(ed int64) *stock {
	i := slices.IndexFunc(p.stocks, func(s *stock) bool { return s != nil && s.ed.ID == ed })
	return p.stocks[i]
}

// step takes a step of a number by the rules of package edition and appends it to the register.
func (p *past) step(s *stock, n edition.Number, step edition.Step, line int64, mark, note string) error {
	before, ok := s.standing[n]
	if !ok {
		before = edition.FreshStanding()
	}
	after, err := before.After(step, line, note)
	if err != nil {
		return err
	}
	s.standing[n] = after
	_, err = p.tx.Append(edition.Entry{
		Edition: s.ed.ID, Number: n, Turn: after.Turn, Step: step, After: after, Order: mark,
		Day: p.day, At: p.clock.Now(), Who: artist, Note: note,
	})
	return err
}

// reorder orders sheets of every edition that runs low.
func (p *past) reorder() error {
	for _, s := range p.stocks {
		if s == nil || s.onHand+s.coming-s.claimed > 4 || s.left() == 0 {
			continue
		}
		quantity := 10 + 5*(s.c.weight/20)
		if n := s.left(); n > 0 {
			quantity = min(quantity, n+s.claimed)
		}
		if err := p.orderSheets(s, quantity); err != nil {
			return err
		}
	}
	return nil
}

// left is how many numbers of a limited edition can still be sold; -1 = an open edition.
func (s *stock) left() int {
	if s.ed.Open() {
		return -1
	}
	n := s.ed.Limit
	for number, st := range s.standing {
		if number.Kind == edition.Numbered && !(st.Line == 0 && (st.State == edition.Free || st.State == edition.Signed)) {
			n--
		}
	}
	return n
}
