package studio

import (
	"context"
	"fmt"

	"solander/order"
	"solander/supply"
)

// checking gathers findings over one consistent state.
type checking struct {
	*turn
	found []Finding
	held  map[int64]heldLine // live numbered lines of orders that hold their numbers, by line
	open  []order.Order
}

func (c *checking) finding(where, mend, what string, args ...any) {
	c.found = append(c.found, Finding{Where: where, What: fmt.Sprintf(what, args...), Mend: mend})
}

// Check verifies the studio against itself: the database by its own means, the register by replaying
// every number, drawer and shelf by adding up their moves, orders against the register, and parcels
// against orders. Each finding says where, what and how to mend it; no finding means all is well.
// An error means that it could not be looked at.
func (s *Studio) Check(ctx context.Context) ([]Finding, error) {
	sentences, err := s.store.Integrity(ctx)
	if err != nil {
		return nil, err
	}
	var out []Finding
	for _, x := range sentences {
		out = append(out, Finding{Where: "database", What: x, Mend: "restore the latest backup into an empty place and check that"})
	}
	err = s.read(ctx, func(t *turn) error {
		c := &checking{turn: t, held: map[int64]heldLine{}}
		for _, look := range []func() error{c.orders, c.register, c.log, c.drawer, c.shelf, c.parcels} {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := look(); err != nil {
				return err
			}
		}
		out = append(out, c.found...)
		return nil
	})
	return out, err
}

// allMoves asks for every move of a stock.
const allMoves = 1 << 30

func (c *checking) drawer() error {
	onHand, err := c.OnHand()
	if err != nil {
		return err
	}
	eds, err := c.Editions()
	if err != nil {
		return err
	}
	for _, e := range eds {
		where := "drawer: " + e.Name(c.set.Units)
		if err := c.stock(where, supply.Sheets, e.ID, onHand[e.ID], "count the drawer"); err != nil {
			return err
		}
	}
	d, err := c.turn.drawer()
	if err != nil {
		return err
	}
	for _, e := range eds {
		if n := d.signed(e.ID); onHand[e.ID] < n {
			c.finding("drawer: "+e.Name(c.set.Units), "count the drawer; mark signed sheets that are lost as spoilt", "%d sheets are there, but %d signed ones must be", onHand[e.ID], n)
		}
		if d.loose[e.ID] < 0 {
			c.finding("register: "+e.Name(c.set.Units), "restore a backup; an order holds a signed number that the register does not count", "more signed numbers are held than there are")
		}
	}
	return nil
}

// stock adds up the moves of a stock.
func (c *checking) stock(where string, kind supply.MoveKind, of int64, have int, mend string) error {
	moves, err := c.Moves(kind, of, allMoves)
	if err != nil {
		return err
	}
	sum := 0
	for _, m := range moves {
		sum += m.Delta
	}
	if sum != have {
		c.finding(where, mend, "%d are said to be there, its moves add up to %d", have, sum)
	}
	if have < 0 {
		c.finding(where, mend, "%d are said to be there", have)
	}
	return nil
}

func (c *checking) shelf() error {
	items, err := c.Shelf()
	if err != nil {
		return err
	}
	used, err := c.packedUse()
	if err != nil {
		return err
	}
	for _, it := range items {
		where := "shelf: " + it.Spec.Name
		if err := c.stock(where, supply.Packaging, it.ID, it.Stock, "count the shelf"); err != nil {
			return err
		}
		if n := used[it.Spec.ID]; it.Stock < n {
			c.finding(where, "count the shelf, what is in packed parcels included", "%d are there, but packed parcels hold %d", it.Stock, n)
		}
		delete(used, it.Spec.ID)
	}
	for key, n := range used {
		c.finding("shelf", "add an item with that key", "packed parcels hold %d of %q, which is not on the shelf", n, key)
	}
	return nil
}
