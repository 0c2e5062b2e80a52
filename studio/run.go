package studio

import (
	"context"
	"fmt"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/supply"
)

// RunView is a lab run with what is shown of it.
type RunView struct {
	supply.Run
	Ed   edition.Edition `json:"edition_detail"`
	Late int             `json:"late"` // working days past the expected day while something is outstanding
}

// Runs lists lab runs, newest first.
func (s *Studio) Runs(ctx context.Context, openOnly bool) ([]RunView, error) {
	var out []RunView
	err := s.read(ctx, func(t *turn) error {
		runs, err := t.Runs(openOnly)
		if err != nil {
			return err
		}
		out = make([]RunView, len(runs))
		for i, r := range runs {
			e, err := t.edition(r.Edition)
			if err != nil {
				return err
			}
			out[i] = RunView{Run: r, Ed: e, Late: t.runLate(r)}
		}
		return nil
	})
	return out, err
}

func (t *turn) runLate(r supply.Run) int {
	if r.Outstanding() == 0 || r.Expected.IsZero() {
		return 0
	}
	return max(0, t.working.Between(r.Expected, t.today))
}

// OrderRun orders sheets of an edition from a lab. Faults: Invalid, Missing.
func (s *Studio) OrderRun(ctx context.Context, r supply.Run) (supply.Run, error) {
	r.ID, r.Closed, r.Receipts = 0, false, nil
	if !r.Ordered.IsZero() {
		if err := r.Validate(); err != nil {
			return r, err
		}
	}
	var ordered supply.Run
	err := s.write(ctx, func(t *turn) (err error) {
		ordered, err = t.orderRun(r)
		return err
	})
	return ordered, err
}

func (t *turn) orderRun(r supply.Run) (supply.Run, error) {
	var err error
	if r.Ordered, err = t.notFuture("ordered", r.Ordered); err != nil {
		return r, err
	}
	if err := r.Validate(); err != nil {
		return r, err
	}
	var l fault.List
	l.Add(sane("ordered", r.Ordered))
	l.Check(r.Expected.IsZero() || r.Expected.Sub(r.Ordered) <= 2*365, "expected", fmt.Sprintf("%s is more than two years off", r.Expected), "look at the year")
	if err := l.Err(); err != nil {
		return r, err
	}
	e, err := t.edition(r.Edition)
	if err != nil {
		return r, inField(err, "edition")
	}
	if r.UnitCost, err = t.cash("unit_cost", r.UnitCost); err != nil {
		return r, err
	}
	if r.ID, err = t.AddRun(r); err != nil {
		return r, err
	}
	return r, t.note(0, "run %d ordered: %d × %s from %s", r.ID, r.Quantity, e.Name(t.set.Units), r.Lab)
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
func (s *Studio) Receive(ctx context.Context, x supply.Receipt) error {
	var l fault.List
	l.Check(x.Good >= 0 && x.Good <= supply.MaxSheets, "good", "the number of good sheets is negative or absurd", "count them")
	l.Check(x.Rejected >= 0 && x.Rejected <= supply.MaxSheets, "rejected", "the number of rejected sheets is negative or absurd", "use 0 for none")
	l.Add(order.Note("note", x.Note))
	l.Add(sane("day", x.Day))
	if err := l.Err(); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error { return t.receive(x) })
}

func (t *turn) receive(x supply.Receipt) error {
	r, err := t.Run(x.Run)
	if err != nil {
		return inField(err, "run")
	}
	if x.Day, err = t.notFuture("day", x.Day); err != nil {
		return err
	}
	if err := r.Accepts(x); err != nil {
		return err
	}
	e, err := t.edition(r.Edition)
	if err != nil {
		return err
	}
	if _, err := t.AddReceipt(x); err != nil {
		return err
	}
	if err := t.sheets(e, x.Good, fmt.Sprintf("run %d received", r.ID)); err != nil {
		return err
	}
	done := x.Good+x.Rejected == r.Outstanding()
	if done {
		if err := t.CloseRun(r.ID); err != nil {
			return err
		}
	}
	_, err = t.mark(MarkReceived, 0, undoReceived{r.ID, x.Day, x.Good, x.Rejected, done},
		"run %d: %d good, %d rejected of %s", r.ID, x.Good, x.Rejected, e.Name(t.set.Units))
	return err
}

// undoReceive takes a receipt back, while its sheets are still there unsigned.
func (t *turn) undoReceive(u undoReceived) error {
	r, err := t.Run(u.Run)
	if err != nil {
		return err
	}
	e, err := t.edition(r.Edition)
	if err != nil {
		return err
	}
	d, err := t.drawer()
	if err != nil {
		return err
	}
	if d.onHand[e.ID]-u.Good < d.signed(e.ID) {
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
	return t.sheets(e, -u.Good, fmt.Sprintf("run %d: receipt taken back", r.ID))
}

// CloseRun says that nothing more will come. Faults: Missing, Refused when it is closed already.
func (s *Studio) CloseRun(ctx context.Context, id int64) error {
	return s.write(ctx, func(t *turn) error {
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
		return t.note(0, "run %d closed, %d sheets did not come", id, r.Outstanding())
	})
}
