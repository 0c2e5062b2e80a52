package demo

import (
	"fmt"
	"sort"

	"solander/edition"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// cancel ends the orders whose buyers changed their minds, before they are signed.
func (p *past) cancel() error {
	var left []*chain
	for _, c := range p.queue {
		if c.fate != isCancelled || c.Placed == p.day {
			left = append(left, c)
			continue
		}
		if err := p.letGo(c, order.Cancelled, edition.Release, "cancelled: "+pick(p.gen, []string{"bought twice by mistake", "changed her mind", "wanted another size"})); err != nil {
			return err
		}
	}
	p.queue = left
	return nil
}

// letGo ends an order: its numbers take a last step, its lines are dropped, its money goes back.
func (p *past) letGo(c *chain, state order.State, step edition.Step, note string) error {
	if err := p.pay(c, order.Refund, c.Paid(), p.day, note); err != nil {
		return err
	}
	for i, l := range c.Lines {
		s := p.stockOf(l.Edition)
		s.sold--
		if state == order.Cancelled {
			s.claimed--
		}
		if !l.Number.IsZero() {
			if err := p.step(s, l.Number, step, 0, c.Mark, note); err != nil {
				return err
			}
		}
		if state == order.Returned {
			if err := p.sheets(s, 1, c.Mark+" came back"); err != nil {
				return err
			}
		}
		c.Lines[i].Dropped = true
		if err := p.tx.SaveLine(c.Lines[i]); err != nil {
			return err
		}
	}
	c.State, c.Closed = state, p.day
	return p.tx.SaveOrder(c.Order)
}

// comeBack takes back what buyers sent back.
func (p *past) comeBack() error {
	var left []*chain
	for _, c := range p.sent {
		if c.comesOn.After(p.day) && !p.lastDay() {
			left = append(left, c)
			continue
		}
		if err := p.letGo(c, order.Returned, edition.Return, pick(p.gen, []string{"the colours did not suit the room", "arrived after the birthday"})); err != nil {
			return err
		}
	}
	p.sent = left
	return nil
}

// sign signs the paid orders of which every sheet is there, the earliest promise first. A sheet is
// sometimes spoilt while it is signed: then the number is struck again and a second sheet takes it.
func (p *past) sign() error {
	sort.SliceStable(p.queue, func(i, j int) bool { return p.queue[i].Promised.Before(p.queue[j].Promised) })
	free := map[*stock]int{}
	for _, s := range p.stocks {
		if s != nil {
			free[s] = s.onHand
		}
	}
	for _, c := range p.queue {
		if c.signed {
			p.reserve(c, free)
		}
	}
	for _, c := range p.queue {
		if c.signed || c.fate == isCancelled || !c.due.IsZero() || !p.reserve(c, free) {
			continue
		}
		for i, l := range c.Lines {
			if err := p.signLine(c, i, free[p.stockOf(l.Edition)] > 0); err != nil {
				return err
			}
		}
		c.signed = true
	}
	return nil
}

// reserve takes a sheet for each line when there is one for all.
func (p *past) reserve(c *chain, free map[*stock]int) bool {
	for _, l := range c.Lines {
		if free[p.stockOf(l.Edition)] == 0 {
			return false
		}
	}
	for _, l := range c.Lines {
		free[p.stockOf(l.Edition)]--
	}
	return true
}

func (p *past) signLine(c *chain, i int, spare bool) error {
	l := &c.Lines[i]
	s := p.stockOf(l.Edition)
	if !l.Number.IsZero() {
		if err := p.signNumber(s, l.Number, c.Mark, spare); err != nil {
			return err
		}
	}
	l.Signed, l.SignedDay = true, p.day
	return p.tx.SaveLine(*l)
}

// signNumber signs a number, unless a returned one is signed already. One sheet in 120 is spoilt.
func (p *past) signNumber(s *stock, n edition.Number, mark string, spare bool) error {
	st := s.standing[n]
	if st.Signed {
		return nil
	}
	if spare && st.Struck == 0 && !p.nearEnd() && p.below(120) == 0 {
		p.events[spoilt]++
		why := pick(p.gen, []string{"ink on the margin", "graphite smeared", "thumb print in the image"})
		if err := p.step(s, n, edition.Spoil, 0, mark, why); err != nil {
			return err
		}
		if err := p.sheets(s, -1, n.Of(s.ed)+" of "+s.ed.Title+" spoilt"); err != nil {
			return err
		}
		if err := p.step(s, n, edition.Restrike, 0, mark, "struck again: "+why); err != nil {
			return err
		}
	}
	return p.step(s, n, edition.Sign, 0, mark, "")
}

const spoilt = 1

// handOver packs, labels and hands over everything signed; one order in six is left for the next time.
func (p *past) handOver() error {
	var go_ []*chain
	var left []*chain
	for _, c := range p.queue {
		if c.signed && (p.below(6) > 0 || c.Promised.Before(p.day.Add(3)) || p.lastDay()) {
			go_ = append(go_, c)
		} else {
			left = append(left, c)
		}
	}
	if len(go_) == 0 {
		return nil
	}
	id, err := p.tx.AddHandOver(studio.HandOver{Day: p.day})
	if err != nil {
		return err
	}
	used := map[string]int{}
	for _, c := range go_ {
		if err := p.send(c, id, used); err != nil {
			return err
		}
	}
	p.queue = left
	return p.takeFromShelf(used, id)
}

// lastDay reports the last day or two of book work of the past: such days are at most a week apart.
func (p *past) lastDay() bool { return p.day.Add(8).After(p.today.Add(-pastEnds)) }

// send hands the parcels of one order over.
func (p *past) send(c *chain, handOver int64, used map[string]int) error {
	parcels, err := p.packer.parcels(p.day, c.Order)
	if err != nil {
		return fmt.Errorf("%s: %w", c.Mark, err)
	}
	for _, x := range parcels {
		x.State, x.HandOver = studio.HandedOver, handOver
		x.Packed, x.Labelled, x.HandedOver = p.day, p.day, p.day
		x.Paid = p.paid(x.Estimated)
		p.serial++
		x.Tracking = p.tracking(p.serial, c.ShipTo.Country, "US")
		id, err := p.tx.AddParcel(x)
		if err != nil {
			return err
		}
		for _, l := range x.Lines {
			if err := p.sendLine(c, l, id); err != nil {
				return err
			}
		}
		for _, layer := range x.Plan.Layers {
			used[layer.Item] += layer.Count
		}
	}
	c.State, c.Closed = order.Closed, p.day
	if c.fate == isReturned {
		c.comesOn = p.working.Add(p.day, 8+p.below(10))
		p.sent = append(p.sent, c)
	}
	return p.tx.SaveOrder(c.Order)
}

func (p *past) sendLine(c *chain, line, parcel int64) error {
	for i := range c.Lines {
		l := &c.Lines[i]
		if l.ID != line {
			continue
		}
		s := p.stockOf(l.Edition)
		if !l.Number.IsZero() {
			if err := p.step(s, l.Number, edition.Send, 0, c.Mark, ""); err != nil {
				return err
			}
		}
		s.claimed--
		if err := p.sheets(s, -1, c.Mark+" handed over"); err != nil {
			return err
		}
		l.Sent, l.Parcel = true, parcel
		return p.tx.SaveLine(*l)
	}
	return fmt.Errorf("a parcel holds line %d, which is not of %s", line, c.Mark)
}

// paid is the postage she paid: mostly what the card says, now and then a little more or less.
func (p *past) paid(estimated money.Amount) money.Amount {
	switch p.below(10) {
	case 0:
		estimated.Minor += int64(15 + p.below(60))
	case 1:
		estimated.Minor -= min(estimated.Minor/10, int64(p.below(30)))
	}
	return estimated
}

// takeFromShelf takes the packaging of a hand-over off the shelf and buys new packs of what runs out.
func (p *past) takeFromShelf(used map[string]int, handOver int64) error {
	keys := make([]string, 0, len(used))
	for k := range used {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		item, ok := p.packer.items[k]
		if !ok {
			return fmt.Errorf("a parcel uses %q, which is not on the shelf", k)
		}
		for item.Stock-used[k] <= item.ReorderAt {
			if err := p.move(item, max(item.Pack, 10), "a pack came in"); err != nil {
				return err
			}
		}
		if err := p.move(item, -used[k], fmt.Sprintf("hand-over %d", handOver)); err != nil {
			return err
		}
	}
	return nil
}

func (p *past) move(item *studio.ShelfItem, delta int, reason string) error {
	item.Stock += delta
	return p.tx.AddMove(supply.Move{Kind: supply.Packaging, Of: item.ID, Delta: delta, Reason: reason, Day: p.day, At: p.clock.Now(), Who: artist})
}
