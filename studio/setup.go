package studio

import (
	"context"
	"errors"
	"fmt"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/supply"
)

// SetUpIn is a first studio.
type SetUpIn struct {
	Settings Settings
	Outlets  []order.Outlet
	Work     edition.Work    // no title: none
	Edition  edition.Edition // no paper and no size: none; its Work is set by SetUp
	Shelf    []ShelfItem     // with their Stock
	Sheets   int             // of the edition, in the drawer
}

func (in SetUpIn) hasWork() bool { return in.Work.Title != "" }
func (in SetUpIn) hasEdition() bool {
	return in.Edition.Paper != "" || in.Edition.Width != 0 || in.Edition.Height != 0
}

// Validate looks at the set-up alone. Faults: Invalid, one a field.
func (in SetUpIn) Validate() error {
	var l fault.List
	l.Add(in.Settings.Validate())
	l.Check(len(in.Outlets) > 0, "outlets", "a sale needs an outlet", "name at least one place where prints are sold")
	for i, u := range in.Outlets {
		l.Add(below(u.Validate(), fmt.Sprintf("outlets[%d].", i)))
	}
	for i, it := range in.Shelf {
		l.Add(below(it.Validate(), fmt.Sprintf("shelf[%d].", i)))
	}
	l.Add(packable(in.Settings, in.Shelf))
	if in.hasWork() {
		l.Add(in.Work.Validate())
	}
	if in.hasEdition() {
		l.Check(in.hasWork(), "title", "the edition has no picture", "give the picture a title")
		e := in.Edition
		e.Work = 1 // given by SetUp
		l.Add(e.Validate())
	}
	l.Check(in.Sheets >= 0 && in.Sheets <= supply.MaxSheets && (in.Sheets == 0 || in.hasEdition()), "sheets", fmt.Sprintf("%d sheets cannot lie in the drawer", in.Sheets), "count the sheets of the edition")
	return l.Err()
}

// below puts a path before the fields of all faults.
func below(err error, path string) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range fault.All(err) {
		out = append(out, f.In(path+f.Field))
	}
	return errors.Join(out...)
}

// SetUp makes the first studio: settings, outlets, shelf, and when given the first work, its edition and
// the sheets of it, all or nothing. Faults: Invalid; Refused when the studio is set up already.
func (s *Studio) SetUp(ctx context.Context, in SetUpIn) error {
	in.Settings = in.Settings.tidy()
	if err := in.Validate(); err != nil {
		return err
	}
	return s.commit(ctx, func(tx Tx) error {
		t, err := s.turn(ctx, tx)
		if err != nil {
			return err
		}
		if t.set.Ready() {
			return fault.New(fault.Refused, "the studio is set up already").ToMend("change it in its settings")
		}
		if err := t.SaveSettings(in.Settings); err != nil {
			return err
		}
		if t, err = s.turn(ctx, tx); err != nil {
			return err
		}
		return t.setUp(in)
	})
}

func (t *turn) setUp(in SetUpIn) error {
	for i, u := range in.Outlets {
		u.ID = 0
		if _, err := t.saveOutlet(u); err != nil {
			return below(err, fmt.Sprintf("outlets[%d].", i))
		}
	}
	for i, it := range in.Shelf {
		it.ID = 0
		if _, err := t.saveShelfItem(it); err != nil {
			return below(err, fmt.Sprintf("shelf[%d].", i))
		}
	}
	if !in.hasWork() {
		return nil
	}
	in.Work.ID = 0
	work, err := t.SaveWork(in.Work)
	if err != nil || !in.hasEdition() {
		return err
	}
	in.Edition.Work = work
	e, err := t.declare(in.Edition)
	if err != nil {
		return err
	}
	return t.sheets(e, in.Sheets, "first count")
}
