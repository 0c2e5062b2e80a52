package house

import (
	"context"
	"errors"
	"fmt"

	"solander/fault"
	"solander/order"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// checking gathers findings over one consistent state.
type checking struct {
	*House
	ctx   context.Context
	found []studio.Finding
	held  map[int64]heldLine // live numbered lines of orders that hold their numbers, by line
	open  []order.Order
	told  journal
	lost  int // how much could not be read
}

func (c *checking) finding(where, mend, what string, args ...any) {
	c.found = append(c.found, studio.Finding{Where: where, What: fmt.Sprintf(what, args...), Mend: mend})
}

// mendDamage is what is done about a database that cannot be trusted or read.
const mendDamage = "restore the latest backup into an empty place and check that"

// mostLost bounds how much that cannot be read is told one by one.
const mostLost = 50

// errLost ends a look at what is damaged all over.
var errLost = errors.New("too much of it cannot be read")

// unread makes a finding of what could not be read, so that the rest is looked at all the same. It returns an error
// when the look is to end: the store is away, the time is over, or too much is lost.
func (c *checking) unread(where string, err error) error {
	if err == nil || c.ctx.Err() != nil || fault.Is(err, fault.Busy) || errors.Is(err, errLost) {
		return err
	}
	if c.lost++; c.lost > mostLost {
		return errLost
	}
	f := fault.All(err)[0]
	what := f.What
	if f.Err != nil {
		what = f.Err.Error()
	}
	c.finding(where, mendDamage, "it cannot be read: %.300s", what)
	return nil
}

// walk reads rows in parts of at most so many, in the order of their ids. Where a part cannot be read it asks for fewer at a
// time, until it is plain which row it is; what names that one, it becomes a finding, and the rest is read. each returns the id of
// its row.
func walk[T any](c *checking, most int, what func(id int64) string, read func(after int64, limit int) ([]T, error), each func(T) (int64, error)) error {
	var after int64
	atOnce := most
	for {
		rows, err := read(after, atOnce)
		switch {
		case err == nil:
		case atOnce > 1 && c.ctx.Err() == nil:
			atOnce /= 2
			continue
		default:
			after++
			if err := c.unread(what(after), err); err != nil {
				return err
			}
			continue
		}
		for _, r := range rows {
			if after, err = each(r); err != nil {
				return err
			}
		}
		if len(rows) < atOnce {
			return nil
		}
		atOnce = min(2*atOnce, most)
	}
}

// checkLook is one part of a check.
type checkLook struct {
	where string
	do    func(*checking) error
}

var checkLooks = []checkLook{
	{"journal", (*checking).journal},
	{"orders", (*checking).orders},
	{"register", (*checking).register},
	{"register", (*checking).log},
	{"drawer", (*checking).drawer},
	{"shelf", (*checking).shelf},
	{"parcels", (*checking).parcels},
	{"pictures", (*checking).pictures},
	{"photos of claims", (*checking).claimPhotos},
}

// guarded takes a look. What it reads may be anything, since nothing vouches for a damaged store: a rule that
// breaks on it is told as what cannot be read.
func (c *checking) guarded(l checkLook) (err error) {
	defer func() {
		if broke := recover(); broke != nil {
			err = fmt.Errorf("what stands there is not possible: %v", broke)
		}
	}()
	return l.do(c)
}

// Check verifies the studio against itself: the database by its own means, the register by replaying
// every number, drawer and shelf by adding up their moves, orders against the register and the journal, and parcels
// against orders. Each finding says where, what and how to mend it; no finding means all is well.
// What cannot be read is a finding, too, and the rest is looked at all the same; then not all is of one moment.
// Faults: Busy when the store cannot be asked.
func Check(ctx context.Context, s *studio.Studio) ([]studio.Finding, error) {
	sentences, err := s.Store.Integrity(ctx)
	if err != nil {
		return nil, err
	}
	var out []studio.Finding
	for _, x := range sentences {
		out = append(out, studio.Finding{Where: "database", What: x, Mend: mendDamage})
	}
	c := &checking{ctx: ctx, held: map[int64]heldLine{}, told: newJournal()}
	for left := checkLooks; len(left) > 0; {
		where := left[0].where
		err := s.Store.Read(ctx, func(tx studio.Tx) error {
			t, err := s.Turn(ctx, tx)
			if err != nil {
				where = "settings"
				if err := c.unread(where, err); err != nil {
					return err
				}
				t = s.TurnWith(ctx, tx, studio.Settings{})
			}
			c.House = In(t)
			for len(left) > 0 {
				look := left[0]
				where, left = look.where, left[1:]
				if err := c.guarded(look); err != nil {
					return err // some engines answer nothing more in this transaction
				}
			}
			return nil
		})
		if errors.Is(err, errLost) {
			c.finding(where, mendDamage, "%v", errLost)
			err, c.lost = nil, 1 // the next look tells its own
		}
		if err := c.unread(where, err); err != nil {
			return append(out, c.found...), err
		}
	}
	return append(out, c.found...), nil
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
		where := "drawer: " + e.Name(c.Set.Units)
		if err := c.unread(where, c.stock(where, supply.Sheets, e.ID, onHand[e.ID], "count the drawer")); err != nil {
			return err
		}
	}
	d, err := c.House.Drawer()
	if err != nil {
		return err
	}
	for _, e := range eds {
		if n := d.Signed(e.ID); onHand[e.ID] < n {
			c.finding("drawer: "+e.Name(c.Set.Units), "count the drawer; mark signed sheets that are lost as spoilt", "%d sheets are there, but %d signed ones must be", onHand[e.ID], n)
		}
		if d.Loose[e.ID] < 0 {
			c.finding("register: "+e.Name(c.Set.Units), "restore a backup; an order holds a signed number that the register does not count", "more signed numbers are held than there are")
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
	used, err := stockroom.In(c.Turn).PackedUse()
	if err != nil {
		return err
	}
	for _, it := range items {
		where := "shelf: " + it.Spec.Name
		if err := c.unread(where, c.stock(where, supply.Packaging, it.ID, it.Stock, "count the shelf")); err != nil {
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
