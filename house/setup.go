package house

import (
	"context"
	"fmt"
	"slices"

	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// SetUpIn is a first studio.
type SetUpIn struct {
	Settings studio.Settings
	Outlets  []order.Outlet
	Work     edition.Work       // no title: none
	Edition  edition.Edition    // no paper and no size: none; its Work is set by SetUp
	Shelf    []studio.ShelfItem // with their Stock
	Sheets   int                // of the edition, in the drawer
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
		l.Add(fault.Below(u.Validate(), fmt.Sprintf("outlets[%d].", i)))
	}
	for i, it := range in.Shelf {
		l.Add(fault.Below(it.Validate(), fmt.Sprintf("shelf[%d].", i)))
	}
	l.Add(studio.Packable(in.Settings, in.Shelf))
	l.Add(studio.RulesAgree(in.Settings))
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

// SetUp makes the first studio: settings, outlets, shelf, and when given the first work, its edition and
// the sheets of it, all or nothing. Faults: Invalid; Refused when the studio is set up already.
func SetUp(ctx context.Context, s *studio.Studio, in SetUpIn) error {
	in.Settings = in.Settings.Tidy()
	if err := in.Validate(); err != nil {
		return err
	}
	return s.Commit(ctx, func(tx studio.Tx) error {
		t, err := s.Turn(ctx, tx)
		if err != nil {
			return err
		}
		if t.Set.Ready() {
			return fault.New(fault.Refused, "the studio is set up already").ToMend("change it in its settings")
		}
		if err := In(t).SaveSettings(in.Settings); err != nil {
			return err
		}
		if t, err = s.Turn(ctx, tx); err != nil {
			return err
		}
		return In(t).setUp(in)
	})
}

func (t *House) setUp(in SetUpIn) error {
	for i, u := range in.Outlets {
		u.ID = 0
		if _, err := t.KeepOutlet(u); err != nil {
			return fault.Below(err, fmt.Sprintf("outlets[%d].", i))
		}
	}
	for i, it := range in.Shelf {
		it.ID = 0
		if _, err := stockroom.In(t.Turn).KeepShelfItem(it); err != nil {
			return fault.Below(err, fmt.Sprintf("shelf[%d].", i))
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
	e, err := register.In(t.Turn).DeclareEdition(in.Edition)
	if err != nil {
		return err
	}
	return stockroom.In(t.Turn).Sheets(e, in.Sheets, supply.Why{Cause: supply.FirstCount}, "first count")
}

// LeaveOut takes the names of packaging that is not on the shelf out of the wraps, and says which, a sentence
// each. A layer that names none any more takes any of its kind: the wrap stays usable with what the studio has.
// It is for a first studio, whose shelf was cut down; later a wrap that names what is not there is refused.
func (in SetUpIn) LeaveOut() (SetUpIn, []string) {
	has := map[string]bool{}
	for _, it := range in.Shelf {
		has[it.Spec.ID] = true
	}
	var said []string
	wraps := slices.Clone(in.Settings.Wraps)
	for i := range wraps {
		wraps[i].Layers = slices.Clone(wraps[i].Layers)
		for j := range wraps[i].Layers {
			l := &wraps[i].Layers[j]
			var kept []string
			for _, id := range l.Items {
				if has[id] {
					kept = append(kept, id)
					continue
				}
				said = append(said, fmt.Sprintf("the wrap %s does not name %s: it is not on the shelf", dayplan.WrapName(wraps[i]), id))
			}
			if len(l.Items) > 0 && len(kept) == 0 {
				said = append(said, fmt.Sprintf("layer %d of the wrap %s takes any %s: none that it named is on the shelf", j+1, dayplan.WrapName(wraps[i]), l.Kind))
			}
			l.Items = kept
		}
	}
	in.Settings.Wraps = wraps
	return in, said
}
