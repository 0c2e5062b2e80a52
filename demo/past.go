package demo

import (
	"context"
	"fmt"
	"slices"

	"solander/bench"
	"solander/calendar"
	"solander/certificate"
	"solander/consign"
	"solander/edition"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/tax"
)

// past lives the two years before the last weeks through the use cases. The artist does her book work on Tuesdays and
// Fridays; each such day is one sitting.
type past struct {
	*gen
	ctx     context.Context
	days    *days
	today   calendar.Day
	working calendar.Working
	studio  *studio.Studio
	lent    *studio.Studio // with the oldest price cards lent to the time before them
	cards   calendar.Day   // from this day on cards are known

	outlets []order.Outlet
	works   []edition.Work
	stocks  []*stock // by place in the catalogue; nil before it is declared
	stories []*story // orders that did not end, as they were taken
	runs    []supply.Run
	serial  int // of parcels
	buyers  []patron
	refs    int

	deeds        []deed // that are not done yet
	rates        []tax.Rate
	galleries    [2]consign.House
	consignments []consign.Print // as they were sent
	claim        int64           // on an operator
	account      int64           // at the bank
	sold         []sold
	paidUntil    calendar.Day // the outlet that pays out paid what was sold until then
	paidOut      []paidOut
	certificates []certificate.Kept

	t     *studio.Turn // of the sitting
	spare []int        // near the end, by place in the catalogue: sheets in the drawer that no order has
	day   calendar.Day
}

// stock is an edition of the catalogue, declared.
type stock struct {
	ed      edition.Edition
	c       declared
	arrived bool // its first sheets
}

// story is how an order will go on.
type story struct {
	order   int64
	due     calendar.Day // the rest is paid on this day; no day: it is paid
	fate    fate
	comesOn calendar.Day // the day a returned one comes back; none before it is sent
}

type fate int

const (
	isSent fate = iota
	isCancelled
	isReturned
)

// sit is one sitting at the book. Before the oldest price cards that are known, prices are theirs.
func (p *past) sit(day calendar.Day, hour int, work func(st *studio.Studio) error) error {
	st := p.studio
	if day.Before(p.cards) {
		st = p.lent
	}
	p.day = day
	return p.days.sit(day, hour, func() (err error) {
		if p.t, err = st.Turn(p.ctx, p.days.tx); err != nil {
			return err
		}
		return work(st)
	})
}

// live lives the past day by day: placed holds the days of its sales, ascending; until is its last day.
func (p *past) live(placed []calendar.Day, until calendar.Day) error {
	for d := p.today.Add(-firstDay); !d.After(until); d = d.Add(1) {
		if wd := d.Weekday(); !p.working.Is(d) || wd != 2 && wd != 5 {
			continue
		}
		n := 0
		for n < len(placed) && !placed[n].After(d) {
			n++
		}
		if err := p.sit(d, 16, func(st *studio.Studio) error { return p.bookDay(st, placed[:n]) }); err != nil {
			return fmt.Errorf("%s: %w", d, err)
		}
		placed = placed[n:]
	}
	return nil
}

func (p *past) bookDay(st *studio.Studio, sales []calendar.Day) error {
	for _, step := range []func(*studio.Studio) error{p.declareDue, p.receiveDue, p.doDeeds, p.goOn} {
		if err := step(st); err != nil {
			return err
		}
	}
	if err := p.lookForSpare(); err != nil {
		return err
	}
	for _, placed := range sales {
		if err := p.take(st, placed); err != nil {
			return err
		}
	}
	d, err := p.t.Drawer()
	if err != nil {
		return err
	}
	for _, step := range []func(*studio.Studio, *studio.Drawer) error{p.reorder, p.sign, p.restock, p.leave} {
		if err := step(st, d); err != nil {
			return err
		}
	}
	return nil
}

// declareDue declares the editions whose day has come and orders their first sheets.
func (p *past) declareDue(st *studio.Studio) error {
	for i, c := range catalogue {
		if p.stocks[i] != nil || p.today.Add(-c.age).After(p.day) {
			continue
		}
		e := c.edition(p.works[c.work].ID, p.works[c.work].Title, p.today)
		e.Declared = p.day
		e, err := register.Declare(p.ctx, st, e)
		if err != nil {
			return err
		}
		p.stocks[i] = &stock{ed: e, c: c}
		if err := p.tellFacts(st, i); err != nil {
			return err
		}
		if err := p.orderSheets(st, p.stocks[i], 8+2*(c.weight/10)); err != nil {
			return err
		}
	}
	return nil
}

// orderSheets orders a run from one of the labs.
func (p *past) orderSheets(st *studio.Studio, s *stock, quantity int) error {
	r, err := stockroom.OrderRun(p.ctx, st, supply.Run{
		Edition: s.ed.ID, Lab: labs[int(s.ed.ID)%len(labs)], Ordered: p.day, Expected: p.working.Add(p.day, 6+p.below(6)),
		Quantity: quantity, UnitCost: s.ed.PrintCost,
	})
	p.runs = append(p.runs, r)
	return err
}

// receiveDue takes in the runs whose day has come; one in five has a reject.
func (p *past) receiveDue(st *studio.Studio) error {
	var left []supply.Run
	for _, r := range p.runs {
		if r.Expected.After(p.day) {
			left = append(left, r)
			continue
		}
		x := supply.Receipt{Run: r.ID, Day: p.day, Good: r.Quantity}
		if p.chance(20) {
			x.Good, x.Rejected, x.Note = r.Quantity-1, 1, pick(p.gen, []string{"banding along one edge", "crease in a corner", "colour cast"})
		}
		if err := stockroom.Receive(p.ctx, st, x); err != nil {
			return err
		}
		s := p.stocks[slices.IndexFunc(p.stocks, func(s *stock) bool { return s != nil && s.ed.ID == r.Edition })]
		if err := p.keepProofs(st, s); err != nil {
			return err
		}
		s.arrived = true
	}
	p.runs = left
	return nil
}

// keepProofs puts the first artist's proof and the bon à tirer of a fine edition into the archive when its first
// sheets arrive.
func (p *past) keepProofs(st *studio.Studio, s *stock) error {
	if s.arrived || s.ed.Grade != "fine" {
		return nil
	}
	for _, n := range []edition.Number{{Kind: edition.BAT, N: 1}, {Kind: edition.AP, N: 1}} {
		if s.ed.Count(n.Kind) == 0 {
			continue
		}
		if err := register.Keep(p.ctx, st, s.ed.ID, n, "for the archive"); err != nil {
			return err
		}
		if err := register.SignAhead(p.ctx, st, s.ed.ID, []edition.Number{n}); err != nil {
			return err
		}
	}
	return nil
}

// reorder orders sheets of every edition that runs low.
func (p *past) reorder(st *studio.Studio, d *studio.Drawer) error {
	there, coming, wanted := d.Usable(), stockroom.Outstanding(d.Runs), map[int64]int{}
	for _, o := range d.Orders {
		for _, l := range bench.Pending(o) {
			wanted[l.Edition]++
		}
	}
	for _, s := range p.stocks {
		if s == nil || there[s.ed.ID]+coming[s.ed.ID]-wanted[s.ed.ID] > 4 {
			continue
		}
		quantity := 10 + 5*(s.c.weight/20)
		if !s.ed.Open() {
			left, err := p.t.Tx.Unsold(s.ed.ID)
			if err != nil {
				return err
			}
			quantity = min(quantity, left+wanted[s.ed.ID])
			if left == 0 {
				continue
			}
		}
		if err := p.orderSheets(st, s, quantity); err != nil {
			return err
		}
	}
	return nil
}
