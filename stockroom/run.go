package stockroom

import (
	"context"
	"fmt"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// RunView is a lab run with what is shown of it.
type RunView struct {
	supply.Run
	Ed   edition.Edition `json:"edition_detail"`
	Late int             `json:"late"` // working days past the expected day while something is outstanding
}

// Runs lists lab runs, newest first.
func Runs(ctx context.Context, s *studio.Studio, openOnly bool) ([]RunView, error) {
	var out []RunView
	err := read(ctx, s, func(t *Stockroom) error {
		runs, err := t.Runs(openOnly)
		if err != nil {
			return err
		}
		out = make([]RunView, len(runs))
		for i, r := range runs {
			e, err := t.EditionOf(r.Edition)
			if err != nil {
				return err
			}
			out[i] = RunView{Run: r, Ed: e, Late: t.runLate(r)}
		}
		return nil
	})
	return out, err
}

func (t *Stockroom) runLate(r supply.Run) int {
	if r.Outstanding() == 0 || r.Expected.IsZero() {
		return 0
	}
	return max(0, t.Working.Between(r.Expected, t.Today))
}

// OrderRun orders sheets of an edition from a lab. Faults: Invalid, Missing.
func OrderRun(ctx context.Context, s *studio.Studio, r supply.Run) (supply.Run, error) {
	r.ID, r.Closed, r.Receipts = 0, false, nil
	if !r.Ordered.IsZero() {
		if err := r.Validate(); err != nil {
			return r, err
		}
	}
	var ordered supply.Run
	err := write(ctx, s, func(t *Stockroom) (err error) {
		ordered, err = t.orderRun(r)
		return err
	})
	return ordered, err
}

func (t *Stockroom) orderRun(r supply.Run) (supply.Run, error) {
	var err error
	if r.Ordered, err = t.NotFuture("ordered", r.Ordered); err != nil {
		return r, err
	}
	if err := r.Validate(); err != nil {
		return r, err
	}
	var l fault.List
	l.Add(studio.Sane("ordered", r.Ordered))
	l.Check(r.Expected.IsZero() || r.Expected.Sub(r.Ordered) <= 2*365, "expected", fmt.Sprintf("%s is more than two years off", r.Expected), "look at the year")
	if err := l.Err(); err != nil {
		return r, err
	}
	e, err := t.EditionOf(r.Edition)
	if err != nil {
		return r, fault.InField(err, "edition")
	}
	if r.UnitCost, err = t.Cash("unit_cost", r.UnitCost); err != nil {
		return r, err
	}
	if r.ID, err = t.AddRun(r); err != nil {
		return r, err
	}
	return r, t.Note(0, "run %d ordered: %d × %s from %s", r.ID, r.Quantity, e.Name(t.Set.Units), r.Lab)
}

// undoReceived is what taking a receipt back needs.
type undoReceived struct {
	Run      int64        `json:"run"`
	Day      calendar.Day `json:"day"`
	Good     int          `json:"good"`
	Rejected int          `json:"rejected"`
	Closed   bool         `json:"closed"` // this receipt completed the run
}

// Receive takes a part of a run in: good sheets go into the drawer. A run of which nothing is
// outstanding any more is closed. Faults: Invalid, Missing, Refused when the run is closed.
func Receive(ctx context.Context, s *studio.Studio, x supply.Receipt) error {
	var l fault.List
	l.Check(x.Good >= 0 && x.Good <= supply.MaxSheets, "good", "the number of good sheets is negative or absurd", "count them")
	l.Check(x.Rejected >= 0 && x.Rejected <= supply.MaxSheets, "rejected", "the number of rejected sheets is negative or absurd", "use 0 for none")
	l.Add(order.Note("note", x.Note))
	l.Add(studio.Sane("day", x.Day))
	if err := l.Err(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Stockroom) error { return t.receive(x) })
}

func (t *Stockroom) receive(x supply.Receipt) error {
	r, err := t.Run(x.Run)
	if err != nil {
		return fault.InField(err, "run")
	}
	if x.Day, err = t.NotFuture("day", x.Day); err != nil {
		return err
	}
	if err := r.Accepts(x); err != nil {
		return err
	}
	e, err := t.EditionOf(r.Edition)
	if err != nil {
		return err
	}
	if _, err := t.AddReceipt(x); err != nil {
		return err
	}
	if err := t.Sheets(e, x.Good, bill(r, supply.Received, x.Good+x.Rejected), fmt.Sprintf("run %d received", r.ID)); err != nil {
		return err
	}
	done := x.Good+x.Rejected == r.Outstanding()
	if done {
		if err := t.CloseRun(r.ID); err != nil {
			return err
		}
	}
	_, err = t.Journal(studio.MarkReceived, 0, undoReceived{r.ID, x.Day, x.Good, x.Rejected, done},
		"run %d: %d good, %d rejected of %s", r.ID, x.Good, x.Rejected, e.Name(t.Set.Units))
	return err
}

// bill is why sheets of a run came in, with what all that came cost: the good ones bear the rejected.
func bill(r supply.Run, c supply.Cause, came int) supply.Why {
	return supply.Why{Cause: c, Run: r.ID, Cost: money.Of(r.UnitCost.Minor*int64(came), r.UnitCost.Currency)}
}

// UndoReceive takes a receipt back, while its sheets are still there unsigned.
func (t *Stockroom) UndoReceive(u undoReceived) error {
	r, err := t.Run(u.Run)
	if err != nil {
		return err
	}
	e, err := t.EditionOf(r.Edition)
	if err != nil {
		return err
	}
	d, err := t.Drawer()
	if err != nil {
		return err
	}
	if d.OnHand[e.ID]-u.Good < d.Signed(e.ID) {
		return fault.New(fault.Refused, "sheets of this receipt were signed or sent since").At("run %d", r.ID).ToMend("count the drawer instead")
	}
	if r.Closed && !u.Closed {
		return fault.New(fault.Refused, "the run was closed since").At("run %d", r.ID).ToMend("count the drawer instead")
	}
	if u.Closed {
		if err := t.ReopenRun(r.ID); err != nil {
			return err
		}
	}
	if _, err := t.AddReceipt(supply.Receipt{Run: r.ID, Day: u.Day, Good: -u.Good, Rejected: -u.Rejected, Note: "taken back"}); err != nil {
		return err
	}
	return t.Sheets(e, -u.Good, bill(r, supply.NotReceived, -u.Good-u.Rejected), fmt.Sprintf("run %d: receipt taken back", r.ID))
}

// CloseRun says that nothing more will come. Faults: Missing, Refused when it is closed already.
func CloseRun(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Stockroom) error {
		r, err := t.Run(id)
		if err != nil {
			return err
		}
		if r.Closed {
			return fault.New(fault.Refused, "this run is closed already").At("run %d", id)
		}
		if err := t.CloseRun(id); err != nil {
			return err
		}
		return t.Note(0, "run %d closed, %d sheets did not come", id, r.Outstanding())
	})
}
