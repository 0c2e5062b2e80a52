package studio

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// turn is one transaction of one use case, with what every rule asks for. It reads outlets, buyers and
// editions once each.
type turn struct {
	Tx
	set     Settings
	now     time.Time
	today   calendar.Day // in the studio's time zone
	working calendar.Working
	who     string

	outlets  map[int64]order.Outlet
	buyers   map[int64]order.Buyer
	editions map[int64]edition.Edition
	fed      FeedTime // of this write, once it was asked for
}

func (s *Studio) turn(ctx context.Context, tx Tx) (*turn, error) {
	set, err := tx.Settings()
	if err != nil {
		return nil, err
	}
	return s.turnWith(ctx, tx, set), nil
}

func (s *Studio) turnWith(ctx context.Context, tx Tx, set Settings) *turn {
	now := tx.Now()
	return &turn{
		Tx: tx, set: set, now: now, today: calendar.In(now, set.Place()), working: set.Working(), who: Who(ctx),
		outlets: map[int64]order.Outlet{}, buyers: map[int64]order.Buyer{}, editions: map[int64]edition.Edition{},
	}
}

// with is the turn as if the studio had other settings.
func (t *turn) with(set Settings) *turn {
	out := *t
	out.set = set
	return &out
}

// write runs f in one writing transaction of a studio that is set up.
func (s *Studio) write(ctx context.Context, f func(*turn) error) error {
	return s.commit(ctx, func(tx Tx) error {
		t, err := s.turn(ctx, tx)
		if err != nil {
			return err
		}
		if !t.set.Ready() {
			return fault.New(fault.Refused, "the studio is not set up yet").ToMend("do the set-up first")
		}
		return f(t)
	})
}

// read runs f on one consistent state.
func (s *Studio) read(ctx context.Context, f func(*turn) error) error {
	return s.store.Read(ctx, func(tx Tx) error {
		t, err := s.turn(ctx, tx)
		if err != nil {
			return err
		}
		return f(t)
	})
}

func (t *turn) outlet(id int64) (order.Outlet, error) {
	return once(t.outlets, id, t.Outlet)
}

func (t *turn) buyer(id int64) (order.Buyer, error) {
	return once(t.buyers, id, t.Buyer)
}

// knowBuyers reads the buyers of many orders at once.
func (t *turn) knowBuyers(orders []order.Order) error {
	ids := make([]int64, len(orders))
	for i, o := range orders {
		ids[i] = o.Buyer
	}
	slices.Sort(ids)
	found, err := t.BuyersByID(slices.Compact(ids))
	maps.Copy(t.buyers, found)
	return err
}

func (t *turn) edition(id int64) (edition.Edition, error) {
	return once(t.editions, id, t.Edition)
}

// once reads a thing the first time it is asked for.
func once[V any](seen map[int64]V, id int64, read func(int64) (V, error)) (V, error) {
	if v, ok := seen[id]; ok {
		return v, nil
	}
	v, err := read(id)
	if err == nil {
		seen[id] = v
	}
	return v, err
}

// cash checks an amount against the studio's currency and gives nothing of no currency that currency.
// Faults: Invalid.
func (t *turn) cash(field string, a money.Amount) (money.Amount, error) {
	switch {
	case a.IsZero():
		return money.Of(0, t.set.Currency), nil
	case a.Currency != t.set.Currency:
		return a, fault.Invalidf(field, "it is in %.10q, the studio's money is %s", a.Currency, t.set.Currency).ToMend("give it in %s", t.set.Currency)
	}
	return a, nil
}

// mark adds a journal entry; detail holds what undoing it needs.
func (t *turn) mark(kind MarkKind, orderID int64, detail any, text string, args ...any) (int64, error) {
	raw, err := json.Marshal(detail)
	if err != nil {
		return 0, fmt.Errorf("journal %s: %w", kind, err)
	}
	return t.AddMark(Mark{Order: orderID, Kind: kind, Text: fmt.Sprintf(text, args...), Detail: raw, Day: t.today, At: t.now, Who: t.who})
}

// note journals what is told and not undone.
func (t *turn) note(orderID int64, text string, args ...any) error {
	_, err := t.mark(MarkOther, orderID, nil, text, args...)
	return err
}

// notFuture checks a day that something happened; no day becomes today. Faults: Invalid.
func (t *turn) notFuture(field string, d calendar.Day) (calendar.Day, error) {
	if d.IsZero() {
		return t.today, nil
	}
	if d.After(t.today) {
		return d, fault.Invalidf(field, "%s is in the future", d).ToMend("today is %s", t.today)
	}
	return d, nil
}

// at says where a fault happened, unless it says so already.
func at(err error, where string) error {
	var f *fault.Error
	if errors.As(err, &f) && f.Where == "" {
		return f.At("%s", where)
	}
	return err
}

// inField names the input field of a fault.
func inField(err error, field string) error {
	var f *fault.Error
	if errors.As(err, &f) {
		return f.In(field)
	}
	return err
}

// amount looks at an amount of money alone. Faults: Invalid.
func amount(field string, a money.Amount) error {
	if a.Sign() < 0 || a.Minor > money.MaxMinor {
		return fault.Invalidf(field, "%s is negative or absurd", a).ToMend("give an amount from 0")
	}
	return nil
}

// reasonGiven looks at a reason that is recorded. Faults: Invalid.
func reasonGiven(reason string) error {
	return order.Text("reason", reason, 500, true)
}

// sane looks at a day alone: none, or within a century of what input may name. Faults: Invalid.
func sane(field string, d calendar.Day) error {
	if d.IsZero() || !d.Before(calendar.Earliest) && !d.After(calendar.Latest) {
		return nil
	}
	return fault.Invalidf(field, "%s is not a likely day", d).ToMend("look at the year")
}
