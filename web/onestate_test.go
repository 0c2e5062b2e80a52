package web

import (
	"context"
	"io"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"solander/dayplan"
	"solander/order"
	"solander/picture"
	"solander/studio"
)

// counting counts the reading transactions of a store, and how often what grows with the studio is read in them.
type counting struct {
	studio.Store
	reads atomic.Int64
	asked sync.Map // what → *atomic.Int64
}

func (c *counting) Read(ctx context.Context, f func(studio.Tx) error) error {
	c.reads.Add(1)
	return c.Store.Read(ctx, func(tx studio.Tx) error { return f(countingTx{tx, c}) })
}

func (c *counting) ask(what string) {
	n, _ := c.asked.LoadOrStore(what, new(atomic.Int64))
	n.(*atomic.Int64).Add(1)
}

// countingTx counts what is read whole.
type countingTx struct {
	studio.Tx
	of *counting
}

func (t countingTx) OpenOrders() ([]order.Order, error) {
	t.of.ask("the open orders")
	return t.Tx.OpenOrders()
}

func (t countingTx) OpenParcels() ([]studio.Parcel, error) {
	t.of.ask("the parcels in the house")
	return t.Tx.OpenParcels()
}

func (t countingTx) Shelf() ([]studio.ShelfItem, error) {
	t.of.ask("the shelf")
	return t.Tx.Shelf()
}

func (t countingTx) Pictures() ([]picture.Picture, error) {
	t.of.ask("all pictures")
	return t.Tx.Pictures()
}

func (c *counting) Dump(ctx context.Context, w io.Writer) error {
	c.reads.Add(1)
	return c.Store.Dump(ctx, w)
}

// Every page reads one state of the studio, in one transaction: what is written meanwhile is seen as a whole or not at all. What
// grows with the studio is read once for it at most, whatever its use cases ask for.
func TestEveryPageReadsOneState(t *testing.T) {
	t.Parallel()
	more := map[string]int64{
		"/intake/1/trial": 2, // the trial of a file may take a minute: it has a state of its own, beside the page's
		"/studio/backup":  2, // a copy is a transaction that the store opens itself; the other one knows the day in its name
		"/studio/export":  2, // likewise
	}
	s := furnished(t)
	paths := append(s.paths(), "/orders/1/why-not?service=priority", "/boards?kerf=0&sheet1.width=32&sheet1.height=40&board1.width=11&board1.height=14&board1.count=3", "/?marked=1", "/orders/new?like=S-1001",
		"/runs/new?edition=1", "/scan?noted=1", "/drawer?runs=all", "/orders?claims=1", "/orders?waits=1", "/editions/1?show=loose", "/hand-over?past=all", "/search?q=Ada", "/buyers?q=Ada")
	count, whole := &counting{Store: s.studio.Store}, map[string]bool{}
	s.studio.Store = count
	for _, path := range paths {
		s.studio.Plans = dayplan.NewPlans(func(context.Context, error) {}) // what was planned before is planned again
		count.reads.Store(0)
		count.asked.Clear()
		a := s.get(path).is(200)
		if n := count.reads.Load(); n != max(1, more[path]) {
			t.Errorf("%s reads in %d transactions", path, n)
		}
		count.asked.Range(func(what, n any) bool {
			if n := n.(*atomic.Int64).Load(); n > max(1, more[path]) {
				t.Errorf("%s reads %s %d times", path, what, n)
			}
			whole[what.(string)] = true
			return true
		})
		if len(a.body) == 0 {
			t.Errorf("%s is empty", path)
		}
	}
	if len(whole) < 4 {
		t.Errorf("only %v were read by any page: nothing else was counted", whole)
	}
	for path := range more {
		if !slices.Contains(paths, path) {
			t.Errorf("%s is no page any more: take it out of the exceptions", path)
		}
	}
}
