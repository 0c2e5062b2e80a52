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

// days is the clock and the store of the story. A sitting at the book is one transaction: every use case that is called
// within writes into it and reads from it, and all of it bears the one instant at which the clock stands.
type days struct {
	studio.Store
	now time.Time
	tx  studio.Tx // of the sitting; nil between two
	*known
}

// sitting is the transaction of a sitting. Nobody but the story changes settings and shelf, and nobody changes outlets, editions and
// cards, so they are read once.
type sitting struct {
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

func (s sitting) Settings() (studio.Settings, error) { return s.set, nil }

func (s sitting) Cards() ([]studio.StoredCard, error) { return s.cards, nil }

func (s sitting) Shelf() ([]studio.ShelfItem, error) { return slices.Clone(s.shelf), nil }

// Outlet and Edition read one the first time.
func (s sitting) Outlet(id int64) (order.Outlet, error) {
	return studio.Once(s.outlets, id, s.Tx.Outlet)
}

func (s sitting) Edition(id int64) (edition.Edition, error) {
	return studio.Once(s.editions, id, s.Tx.Edition)
}

func (s sitting) AddMove(m supply.Move) error {
	for i := range s.shelf {
		if m.Kind == supply.Packaging && m.Of == s.shelf[i].ID {
			s.shelf[i].Stock += m.Delta
		}
	}
	return s.Tx.AddMove(m)
}

// Write and Read take part in the sitting.
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

// sit does the work of an hour of a day at the studio, all or nothing: a fault of any use case ends the story.
func (d *days) sit(ctx context.Context, day calendar.Day, hour int, work func() error) error {
	d.turnTo(day, hour)
	ran := false
	return d.Store.Write(ctx, func(tx studio.Tx) error {
		if ran {
			return fault.New(fault.Busy, "somebody else wrote into the studio while it was invented")
		}
		if err := d.read(tx); err != nil {
			return err
		}
		ran, d.tx = true, sitting{tx, d.known}
		defer func() { d.tx = nil }()
		return work()
	})
}

// read reads what is known of the studio, the first time.
func (d *days) read(tx studio.Tx) (err error) {
	if d.known != nil {
		return nil
	}
	d.known = &known{outlets: map[int64]order.Outlet{}, editions: map[int64]edition.Edition{}}
	if d.set, err = tx.Settings(); err != nil {
		return err
	}
	if d.cards, err = tx.Cards(); err != nil {
		return err
	}
	d.shelf, err = tx.Shelf()
	return err
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
