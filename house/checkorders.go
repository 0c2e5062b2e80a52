package house

import (
	"fmt"
	"slices"

	"solander/dispatch"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// ordersAtOnce is how many orders are read at a time.
const ordersAtOnce = 500

// orders walks all orders: their money, their state against their lines, and which lines hold numbers.
func (c *checking) orders() error {
	q := studio.OrderQuery{Limit: ordersAtOnce}
	for {
		orders, err := c.Orders(q)
		switch {
		case err == nil:
		case q.Limit > 1 && c.ctx.Err() == nil: // fewer at a time, until it is plain which one cannot be read
			q.Limit /= 2
			continue
		default:
			if err := c.unread(fmt.Sprintf("the order before id %d", q.Before), err); err != nil || q.Before <= 1 {
				return err
			}
			q.Before--
			continue
		}
		for _, o := range orders {
			q.Before = o.ID
			if err := c.unread("order "+o.Mark, c.order(o)); err != nil {
				return err
			}
		}
		if len(orders) < q.Limit {
			return c.orphans()
		}
		q.Limit = min(2*q.Limit, ordersAtOnce)
	}
}

func (c *checking) order(o order.Order) error {
	where := "order " + o.Mark
	if o.Paid().Sign() < 0 {
		c.finding(where, "look at its payments", "more was paid back than came in: %s", o.Paid())
	}
	if o.Promised.Before(o.Placed) {
		c.finding(where, "correct its promise", "it is promised for %s, before it was placed", o.Promised)
	}
	c.payments(o)
	unsent := 0
	for _, l := range o.Live() {
		if !l.Sent {
			unsent++
		}
		if !l.Number.IsZero() {
			c.held[l.ID] = heldLine{o.Mark, l.Edition, l.Number, o.State}
		}
		e, err := c.EditionOf(l.Edition)
		if err != nil {
			return err
		}
		if !e.Open() && l.Number.IsZero() {
			c.finding(where, "give the line a number", "a line of %s has no number", e.Title)
		}
	}
	switch {
	case o.State == order.Closed && unsent > 0:
		c.finding(where, "take the hand-over back and hand it over again", "it is closed, but %d prints are not sent", unsent)
	case (o.State == order.Cancelled || o.State == order.Returned) && len(o.Live()) > 0:
		c.finding(where, mendRegister, "it is %s, but %d prints are still part of it", o.State, len(o.Live()))
	}
	if o.State == order.Open {
		c.open = append(c.open, o)
	}
	return nil
}

// parcels compares the parcels in the house with the lines of their orders.
func (c *checking) parcels() error {
	open, err := c.OpenParcels()
	if err != nil {
		return err
	}
	in := map[int64]int64{} // parcel by line
	for _, p := range open {
		where := "parcel " + studio.SheetID(p.ID)
		all, err := planning.In(c.House.Turn).Sharing(p)
		if err != nil {
			if err := c.unread(where, err); err != nil {
				return err
			}
			continue
		}
		o := all[0]
		for _, o := range all {
			if o.State != order.Open {
				c.finding(where, "undo the packing", "it is in the house, but its order %s is %s", o.Mark, o.State)
			}
		}
		for _, id := range p.Lines {
			l, ok := studio.LineOf(dispatch.Holding(all, id), id)
			switch {
			case !ok || l.Dropped || l.Sent || l.Parcel != p.ID:
				c.finding(where, "undo the packing of "+o.Mark, "line %d is in it, which is not to be sent with it", id)
			case in[id] != 0:
				c.finding(where, "undo the packing of "+o.Mark, "line %d is in parcel %d as well", id, in[id])
			}
			in[id] = p.ID
		}
		planned, err := planning.LinesIn(p.Plan)
		if err != nil || !slices.Equal(slices.Sorted(slices.Values(planned)), slices.Sorted(slices.Values(p.Lines))) {
			c.finding(where, "undo the packing of "+o.Mark, "its plan is of other prints than lie in it")
		}
		if p.Bare > 0 && (p.Wrap != p.Plan.Wrap || p.Bare > p.Plan.Mass || p.WrapMass > p.Bare) {
			c.finding(where, "undo the packing of "+o.Mark, "its wrap and what it was to weigh without the margin are not those of its plan")
		}
	}
	for _, o := range c.open {
		for _, l := range o.Live() {
			if l.Parcel != 0 && !l.Sent && in[l.ID] != l.Parcel {
				c.finding("order "+o.Mark, "undo the packing", "line %d is said to be in parcel %d, which is not in the house", l.ID, l.Parcel)
			}
		}
	}
	return nil
}
