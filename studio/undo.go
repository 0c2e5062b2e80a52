package studio

import (
	"context"
	"encoding/json"
	"fmt"

	"solander/fault"
)

// Undo takes a mark of the bench back, while nothing later was built on it: by counter entries in the
// register and counter moves of the stocks, never by removing. Faults: Missing; Refused when it is
// undone already, is only told, or something later stands on it, with what.
func (s *Studio) Undo(ctx context.Context, mark int64) error {
	return s.write(ctx, func(t *turn) error {
		m, err := t.Mark(mark)
		if err != nil {
			return err
		}
		return t.undoMark(m)
	})
}

func (t *turn) undoMark(m Mark) error {
	if m.Undone {
		return fault.New(fault.Refused, "this mark is undone already").At("%s", m.Text)
	}
	if err := t.undo(m); err != nil {
		return at(err, m.Text)
	}
	return t.UndoMark(m.ID)
}

func (t *turn) undo(m Mark) error {
	switch m.Kind {
	case MarkPaid:
		return undoAs(m, func(u undoPaid) error { return t.undoPay(m.Order, u) })
	case MarkSigned:
		return undoAs(m, t.undoSign)
	case MarkPacked:
		return undoAs(m, t.undoPack)
	case MarkLabelled:
		return undoAs(m, t.undoLabel)
	case MarkHandedOver:
		return undoAs(m, t.undoHandOver)
	case MarkReceived:
		return undoAs(m, t.undoReceive)
	case MarkRestocked:
		return undoAs(m, t.undoRestock)
	case MarkMerged:
		return undoAs(m, t.undoMerge)
	case MarkParted:
		return undoAs(m, t.undoPart)
	case MarkToldApart:
		return undoAs(m, t.undoApart)
	}
	return fault.New(fault.Refused, "this is told in the journal, not undone").ToMend("do the opposite instead: take the order anew, count the stock, or give another number")
}

// undoAs reads what undoing needs and does it.
func undoAs[U any](m Mark, undo func(U) error) error {
	var u U
	if err := json.Unmarshal(m.Detail, &u); err != nil {
		return fmt.Errorf("journal entry %d: %w", m.ID, err)
	}
	return undo(u)
}

// mostMarks bounds the list of recent marks.
const mostMarks = 50

// RecentMarks lists the latest marks, newest first.
func (s *Studio) RecentMarks(ctx context.Context) ([]Mark, error) {
	var out []Mark
	err := s.read(ctx, func(t *turn) (err error) {
		out, err = t.RecentMarks(mostMarks)
		return err
	})
	return out, err
}
