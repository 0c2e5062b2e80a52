package demo

import (
	"context"
	"slices"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// days is the clock and the store of the story. The whole story is one transaction: every use case that is called within it writes into
// it and reads from it. A sitting at the book is one instant of it, at which the clock stands until the next.
type days struct {
	studio.Store
	now time.Time
	tx  studio.Tx // of the story; nil before and after it
}

// telling is the transaction of the story. Nobody but the story changes settings and shelf, and nobody changes outlets, editions and
// cards, so they are read once.
type telling struct {
	studio.Tx
	*known
}

type known struct {
	set      studio.Settings
	shelf    []studio.ShelfItem
	outlets  map[int64]order.Outlet
	editions map[int64]edition.Edition
	cards    []studio.StoredCard
}

func (s telling) Settings() (studio.Settings, error) { return s.set, nil }

func (s telling) Cards() ([]studio.StoredCard, error) { return s.cards, nil }

func (s telling) Shelf() ([]studio.ShelfItem, error) { return slices.Clone(s.shelf), nil }

// Outlet and Edition read one the first time.
func (s telling) Outlet(id int64) (order.Outlet, error) {
	return studio.Once(s.outlets, id, s.Tx.Outlet)
}

func (s telling) Edition(id int64) (edition.Edition, error) {
	return studio.Once(s.editions, id, s.Tx.Edition)
}

func (s telling) AddMove(m supply.Move) error {
	for i := range s.shelf {
		if m.Kind == supply.Packaging && m.Of == s.shelf[i].ID {
			s.shelf[i].Stock += m.Delta
		}
	}
	return s.Tx.AddMove(m)
}

// Write and Read take part in the story.
func (d *days) Write(ctx context.Context, f func(studio.Tx) error) error {
	if d.tx != nil {
		return f(d.tx)
	}
	return d.Store.Write(ctx, f)
}

func (d *days) Read(ctx context.Context, f func(studio.Tx) error) error {
	if d.tx != nil {
		return f(d.tx)
	}
	return d.Store.Read(ctx, f)
}

// tell tells the story, all or nothing: a fault of any use case ends it.
func (d *days) tell(ctx context.Context, story func() error) error {
	ran := false
	return d.Store.Write(ctx, func(tx studio.Tx) error {
		if ran {
			return fault.New(fault.Busy, "somebody else wrote into the studio while it was invented")
		}
		read, err := readOnce(tx)
		if err != nil {
			return err
		}
		ran, d.tx = true, telling{tx, read}
		defer func() { d.tx = nil }()
		return story()
	})
}

// sit does the work of an hour of a day at the studio.
func (d *days) sit(day calendar.Day, hour int, work func() error) error {
	d.turnTo(day, hour)
	if !d.tx.Now().Equal(d.now) {
		return fault.New(fault.Internal, "the store does not follow the clock of the story")
	}
	return work()
}

// readOnce reads what is known of the studio.
func readOnce(tx studio.Tx) (*known, error) {
	k := &known{outlets: map[int64]order.Outlet{}, editions: map[int64]edition.Edition{}}
	var err error
	if k.set, err = tx.Settings(); err != nil {
		return nil, err
	}
	if k.cards, err = tx.Cards(); err != nil {
		return nil, err
	}
	k.shelf, err = tx.Shelf()
	return k, err
}

func (d *days) turnTo(day calendar.Day, hour int) {
	y, m, n := day.Civil()
	d.now = time.Date(y, m, n, hour, 0, 0, 0, zone())
}

func (d *days) clock() time.Time { return d.now }

// Zone is where the invented studio stands.
const Zone = "America/New_York"

func zone() *time.Location {
	loc, err := time.LoadLocation(Zone)
	if err != nil {
		return time.UTC // a machine without zone data: the hours differ, the days do not
	}
	return loc
}
