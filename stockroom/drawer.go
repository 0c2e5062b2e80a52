package stockroom

import (
	"context"
	"fmt"
	"slices"

	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/studio"
	"solander/supply"
)

// Drawer lists the editions with their sheets.
func Drawer(ctx context.Context, s *studio.Studio) ([]studio.DrawerRow, error) {
	var out []studio.DrawerRow
	err := read(ctx, s, func(t *Stockroom) error {
		rows, err := t.EditionRows()
		if err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		out = d.Rows(rows)
		return nil
	})
	return out, err
}

// CountSheets sets the drawer to what was counted: every sheet of the edition in the drawer, signed or
// not. Faults: Invalid, Missing, Refused when fewer were counted than are signed.
func CountSheets(ctx context.Context, s *studio.Studio, ed int64, counted int, reason string) error {
	if err := countable(counted, reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *Stockroom) error {
		e, err := t.EditionOf(ed)
		if err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		if n := d.Signed(ed); counted < n {
			return fault.New(fault.Refused, "%d sheets were counted, but %d signed ones must be there", counted, n).At("%s", e.Name(t.Set.Units)).In("counted").
				ToMend("count again, or mark the signed sheets that are lost as spoilt")
		}
		cause, err := t.ofCount(supply.Sheets, ed, counted-d.OnHand[ed])
		if err != nil {
			return err
		}
		if err := t.Sheets(e, counted-d.OnHand[ed], supply.Why{Cause: cause}, "counted: "+reason); err != nil {
			return err
		}
		return t.Note(0, "%s counted: %d, before %d", e.Name(t.Set.Units), counted, d.OnHand[ed])
	})
}

// ofCount is the cause of a count that finds so many more.
func (t *Stockroom) ofCount(kind supply.MoveKind, of int64, more int) (supply.Cause, error) {
	moves, err := t.Moves(kind, of, mostMoves)
	moved := len(moves) == mostMoves || slices.ContainsFunc(moves, func(m supply.Move) bool { return m.Cause.Moves() })
	return supply.CauseOfCount(more, moved), err
}

func countable(counted int, reason string) error {
	var l fault.List
	l.Check(counted >= 0 && counted <= supply.MaxSheets, "counted", fmt.Sprintf("%d is not a possible count", counted), fmt.Sprintf("use 0 to %d", supply.MaxSheets))
	l.Add(studio.ReasonGiven(reason))
	return l.Err()
}

// mostMoves bounds a list of moves.
const mostMoves = 200

// Moves lists the latest moves of a stock, newest first.
func Moves(ctx context.Context, s *studio.Studio, kind supply.MoveKind, of int64) ([]supply.Move, error) {
	if kind != supply.Sheets && kind != supply.Packaging {
		return nil, fault.Invalidf("kind", "%.20q is not a stock", string(kind)).ToMend("use sheets or packaging")
	}
	return studio.Got(ctx, s, read, func(t *Stockroom) ([]supply.Move, error) { return t.Moves(kind, of, mostMoves) })
}

// Sheets moves sheets of an edition in or out of the drawer. Faults: Refused when there are not so many.
func (t *Stockroom) Sheets(ed edition.Edition, delta int, why supply.Why, reason string) error {
	if delta == 0 {
		return nil
	}
	if delta > 0 && (why.Cause == supply.FirstCount || why.Cause == supply.Counted || why.Cause == supply.BroughtIn) {
		why.Cost = money.Of(ed.PrintCost.Minor*int64(delta), ed.PrintCost.Currency) // no run says what these cost
	}
	err := t.AddMove(supply.Move{Kind: supply.Sheets, Of: ed.ID, Delta: delta, Reason: reason, Day: t.Today, At: t.Now, Who: t.Who, Why: why})
	if fault.Is(err, fault.Refused) {
		return fault.New(fault.Refused, "the drawer holds fewer sheets than that").At("%s", ed.Name(t.Set.Units)).ToMend("count the drawer").Because(err)
	}
	return err
}
