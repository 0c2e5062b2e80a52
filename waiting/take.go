package waiting

import (
	"context"
	"errors"

	"solander/calendar"
	"solander/dayplan/ahead"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// WaitIn says that an order waits, or that packaging is kept for it.
type WaitIn struct {
	Order int64
	Until calendar.Day // the day that she saw; Refused when it is another one now. No day = the one that is planned
}

// undoWait is what taking a wait back needs.
type undoWait struct {
	Order int64       `json:"order"`
	Was   *order.Wait `json:"was,omitempty"`
}

// mostPlanned is how often the days ahead are planned anew because something changed meanwhile.
const mostPlanned = 8

var errMoved = errors.New("something changed after the days ahead were planned")

// Wait says that an order waits as the days ahead say: it is then in no plan of the days before, and what is kept for it is used for no other.
// Of an order that cannot go sooner it says only the latter.
// Faults: Missing; Refused when it does not pay, or must not, that it waits, or it waits for another day than she saw.
func Wait(ctx context.Context, s *studio.Studio, in WaitIn) (Order, error) {
	if err := studio.Sane("until", in.Until); err != nil {
		return Order{}, err
	}
	for range mostPlanned {
		o, err := wait(ctx, s, in)
		if !errors.Is(err, errMoved) {
			return o, err
		}
	}
	return Order{}, fault.New(fault.Refused, "others wrote whenever it was planned").ToMend("wait a moment and say it again")
}

// wait plans outside of any transaction, which would hold up others, and writes while everything is as it was planned on.
func wait(ctx context.Context, s *studio.Studio, in WaitIn) (Order, error) {
	a, mark, err := askedFor(ctx, s, in.Order)
	if err != nil {
		return Order{}, err
	}
	p, ok, err := ahead.Of(ctx, s.Plans, a.Question)
	if err != nil {
		return Order{}, err
	}
	if !ok {
		return Order{}, fault.New(fault.Refused, "planning ended before every way was looked at").ToMend("say it again")
	}
	for _, o := range a.view(p).Orders {
		if o.ID != in.Order || !o.Waits && !o.MayKeep() {
			continue
		}
		if !in.Until.IsZero() && in.Until != o.Day {
			return o, fault.New(fault.Refused, "it goes on %s now, not on %s", o.Day.Short(), in.Until.Short()).At("%s", mark).In("until").ToMend("look at the days ahead again")
		}
		if err := write(ctx, s, func(t *Waiting) error { return t.wait(s, a, o) }); err != nil {
			return o, err
		}
		o.Said = true
		o.Text = a.keeps(o)
		if o.Waits {
			o.Text = o.says()
		}
		return o, nil
	}
	return Order{}, fault.New(fault.Refused, "it saves nothing that it waits, and nothing is to be kept for it").At("%s", mark).In("until").ToMend("look at the days ahead again")
}

// askedFor reads the days ahead, and the mark of an order.
func askedFor(ctx context.Context, s *studio.Studio, id int64) (a asked, mark string, err error) {
	err = read(ctx, s, func(t *Waiting) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		mark = o.Mark
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		a, err = t.Ask(s, d, Days)
		return err
	})
	return a, mark, err
}

// wait writes that an order waits. Faults: errMoved when the days ahead are no longer those that were planned.
func (t *Waiting) wait(s *studio.Studio, was asked, plan Order) error {
	d, err := t.Drawer()
	if err != nil {
		return err
	}
	now, err := t.Ask(s, d, Days)
	if err != nil {
		return err
	}
	if now.on != was.on {
		return errMoved
	}
	o, err := t.Order(plan.ID)
	if err != nil {
		return err
	}
	w := &order.Wait{Until: plan.Day, With: plan.With, Keeps: plan.Keeps, Kept: !plan.Waits, Saves: plan.Saves, At: t.Now, Who: t.Who}
	for _, c := range now.stocks {
		for _, name := range plan.Comes {
			if c.item.Spec.Name == name {
				if w.For == nil {
					w.For = map[string]int{}
				}
				w.For[c.item.Spec.ID] = c.item.Stock
			}
		}
	}
	undo := undoWait{o.ID, o.Wait}
	o.Wait = w
	if err := t.SaveOrder(o); err != nil {
		return err
	}
	plan.Said = true
	if w.Kept {
		_, err = t.Journal(studio.MarkWaits, o.ID, undo, "%s: %s", o.Mark, keeping(*w, now.names))
		return err
	}
	_, err = t.Journal(studio.MarkWaits, o.ID, undo, "%s %s", o.Mark, plan.says())
	return err
}

// SendToday says that an order waits no more, or that nothing is kept for it. Faults: Missing; Refused when nobody said that it waits.
func SendToday(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Waiting) error {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if o.Wait == nil {
			return fault.New(fault.Refused, "nobody said that it waits").At("%s", o.Mark)
		}
		undo, says := undoWait{o.ID, o.Wait}, "%s is sent without waiting"
		if o.Wait.Kept {
			says = "%s: nothing is kept for it any more"
		}
		o.Wait = nil
		if err := t.SaveOrder(o); err != nil {
			return err
		}
		_, err = t.Journal(studio.MarkWaits, o.ID, undo, says, o.Mark)
		return err
	})
}

// UndoWait gives an order the wait back that it had, or none, while it has prints to send.
func (t *Waiting) UndoWait(u undoWait) error {
	o, err := t.Order(u.Order)
	if err != nil {
		return err
	}
	if err := studio.StillOpen(o); err != nil {
		return err
	}
	o.Wait = u.Was
	return t.SaveOrder(o)
}
