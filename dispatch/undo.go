package dispatch

import (
	"context"
	"encoding/json"
	"fmt"

	"solander/book"
	"solander/buyers"
	"solander/claims"
	"solander/fault"
	"solander/labelling"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/waiting"
	"solander/weighing"
)

// Undo takes a mark of the bench back, while nothing later was built on it: by counter entries in the
// register and counter moves of the stocks, never by removing. Faults: Missing; Refused when it is
// undone already, is only told, or something later stands on it, with what.
func Undo(ctx context.Context, s *studio.Studio, mark int64) error {
	return write(ctx, s, func(t *Dispatch) error {
		m, err := t.Mark(mark)
		if err != nil {
			return err
		}
		return t.TakeBack(m)
	})
}

// TakeBack takes back what a mark says was done.
func (t *Dispatch) TakeBack(m studio.Mark) error {
	text := m.Anew().Text
	if m.Undone {
		return fault.New(fault.Refused, "this mark is undone already").At("%s", text)
	}
	if m.Erased() {
		return fault.New(fault.Refused, "a buyer of this was erased: it cannot be undone any more").At("%s", text).ToMend("enter what is to be put right as it is now")
	}
	if err := t.undo(m); err != nil {
		return fault.Placed(err, text)
	}
	return t.UndoMark(m.ID)
}

func (t *Dispatch) undo(m studio.Mark) error {
	switch m.Kind {
	case studio.MarkPaid:
		return UndoAs(m, func(u book.UndoPaid) error {
			if err := claims.In(t.Turn).Unpaid(m.Order, u.Payment); err != nil {
				return err
			}
			return book.In(t.Turn).UndoPay(m.Order, u)
		})
	case studio.MarkSigned:
		return UndoAs(m, register.In(t.Turn).UndoSign)
	case studio.MarkPacked:
		return UndoAs(m, t.undoPack)
	case studio.MarkLabelled:
		return UndoAs(m, labelling.In(t.Turn).TakeOff)
	case studio.MarkWeighed:
		return UndoAs(m, weighing.In(t.Turn).UndoWeigh)
	case studio.MarkWrapMass:
		return UndoAs(m, weighing.In(t.Turn).UndoHeed)
	case studio.MarkHandedOver:
		return UndoAs(m, t.undoHandOver)
	case studio.MarkReceived:
		return UndoAs(m, stockroom.In(t.Turn).UndoReceive)
	case studio.MarkRestocked:
		return UndoAs(m, stockroom.In(t.Turn).UndoRestock)
	case studio.MarkMerged:
		return UndoAs(m, buyers.In(t.Turn).UndoMerge)
	case studio.MarkParted:
		return UndoAs(m, buyers.In(t.Turn).UndoPart)
	case studio.MarkToldApart:
		return UndoAs(m, buyers.In(t.Turn).UndoApart)
	case studio.MarkClaim:
		return UndoAs(m, claims.In(t.Turn).Undo)
	case studio.MarkWaits:
		return UndoAs(m, waiting.In(t.Turn).UndoWait)
	}
	return fault.New(fault.Refused, "this is told in the journal, not undone").ToMend("do the opposite instead: take the order anew, count the stock, or give another number")
}

// UndoAs reads what undoing needs and does it.
func UndoAs[U any](m studio.Mark, undo func(U) error) error {
	var u U
	if err := json.Unmarshal(m.Detail, &u); err != nil {
		return fmt.Errorf("journal entry %d: %w", m.ID, err)
	}
	return undo(u)
}

// mostMarks bounds the list of recent marks.
const mostMarks = 50

// RecentMarks lists the latest marks, newest first.
func RecentMarks(ctx context.Context, s *studio.Studio) ([]studio.Mark, error) {
	return studio.Got(ctx, s, read, func(t *Dispatch) ([]studio.Mark, error) {
		marks, err := t.RecentMarks(mostMarks)
		return studio.Anew(marks), err
	})
}
