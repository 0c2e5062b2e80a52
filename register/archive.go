package register

import (
	"context"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// Restrike lets a new sheet take a spoilt number, once; it is recorded for ever.
// Faults: Invalid, Refused when the number is not spoilt or was struck again before.
func Restrike(ctx context.Context, s *studio.Studio, ed int64, n edition.Number, reason string) error {
	if err := studio.ReasonGiven(reason); err != nil {
		return err
	}
	return step(ctx, s, ed, n, edition.Restrike, reason, "struck again")
}

// Keep puts a number that no order holds into the artist's archive. The archive is not the drawer: a
// signed sheet leaves the drawer's count.
func Keep(ctx context.Context, s *studio.Studio, ed int64, n edition.Number, note string) error {
	if err := order.Note("note", note); err != nil {
		return err
	}
	return step(ctx, s, ed, n, edition.Keep, note, "kept in the archive")
}

// Withdraw takes a number that no order holds out of the edition for good; a signed sheet leaves the
// drawer's count.
func Withdraw(ctx context.Context, s *studio.Studio, ed int64, n edition.Number, reason string) error {
	if err := studio.ReasonGiven(reason); err != nil {
		return err
	}
	return step(ctx, s, ed, n, edition.Withdraw, reason, "withdrawn")
}

// Release takes a kept number back from the archive: free again, or signed in the drawer.
// Faults: Refused for a number that an order holds, whose line must take another number instead.
func Release(ctx context.Context, s *studio.Studio, ed int64, n edition.Number, note string) error {
	if err := order.Note("note", note); err != nil {
		return err
	}
	return step(ctx, s, ed, n, edition.Release, note, "taken back")
}

// step takes one step of a number that belongs to no order's own path.
func step(ctx context.Context, s *studio.Studio, ed int64, n edition.Number, step edition.Step, note, told string) error {
	return write(ctx, s, func(t *Register) error {
		e, err := t.EditionOf(ed)
		if err != nil {
			return err
		}
		if err := n.In(e); err != nil {
			return err
		}
		before, err := t.Standing(ed, n)
		if err != nil {
			return err
		}
		if err := releasable(step, before, n.Of(e)+" of "+e.Title); err != nil {
			return err
		}
		held, _, err := t.HeldBy(before)
		if err != nil {
			return err
		}
		if _, err := t.Take(StepOf{Ed: e, Number: n, Step: step, Order: held.Mark, Note: note}); err != nil {
			return err
		}
		if err := stockroom.In(t.Turn).Sheets(e, sheetMoved(step, before), supply.Why{Cause: causes[step]}, n.Of(e)+" "+told); err != nil {
			return err
		}
		return t.Note(held.ID, "%s of %s %s%s", n.Of(e), e.Title, told, because(note))
	})
}

func because(note string) string {
	if note == "" {
		return ""
	}
	return ": " + note
}

// releasable refuses the release of a number by hand that is not in the archive: a line that holds a
// number gives it back by taking another one, being dropped or being cancelled.
func releasable(step edition.Step, st edition.Standing, where string) error {
	switch {
	case step != edition.Release:
		return nil
	case st.Line != 0:
		return fault.New(fault.Refused, "an order holds it").At("%s", where).ToMend("give the order another number")
	case st.State != edition.Kept:
		return fault.New(fault.Refused, "only a number in the archive is taken back").At("%s", where).ToMend("a spoilt number is struck again or withdrawn")
	}
	return nil
}

// causes are why a step by hand moves a sheet.
var causes = map[edition.Step]supply.Cause{edition.Keep: supply.Kept, edition.Withdraw: supply.Withdrawn, edition.Release: supply.Unkept}

// sheetMoved is how the drawer's count changes: a signed sheet goes to the archive, out of the edition,
// or comes back from the archive.
func sheetMoved(step edition.Step, before edition.Standing) int {
	switch {
	case !before.Signed:
		return 0
	case step == edition.Keep, step == edition.Withdraw && before.State != edition.Kept:
		return -1
	case step == edition.Release && before.State == edition.Kept:
		return 1
	}
	return 0
}
