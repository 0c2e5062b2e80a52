package studio

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/feed"
	"solander/money"
	"solander/order"
)

// Turn is one transaction of one use case, with what every rule asks for. It reads outlets, buyers and
// editions once each.
type Turn struct {
	Tx      Tx // for each room's own view of it alone
	Set     Settings
	Now     time.Time
	Today   calendar.Day // in the studio's time zone
	Working calendar.Working
	Who     string

	OutletsRead  map[int64]order.Outlet
	BuyersRead   map[int64]order.Buyer
	EditionsRead map[int64]edition.Edition
	Fed          feed.Time // of this write, once it was asked for
}

// Turn begins the work of one transaction: the instant is the store's, the settings are read.
func (s *Studio) Turn(ctx context.Context, tx Tx) (*Turn, error) {
	set, err := tx.Settings()
	if err != nil {
		return nil, err
	}
	return s.TurnWith(ctx, tx, set), nil
}

// TurnWith is Turn with settings that are not kept yet.
func (s *Studio) TurnWith(ctx context.Context, tx Tx, set Settings) *Turn {
	now := tx.Now()
	return &Turn{
		Tx: tx, Set: set, Now: now, Today: calendar.In(now, set.Place()), Working: set.Working(), Who: Who(ctx),
		OutletsRead: map[int64]order.Outlet{}, BuyersRead: map[int64]order.Buyer{}, EditionsRead: map[int64]edition.Edition{},
	}
}

// With is the turn as if the studio had other settings.
func (t *Turn) With(set Settings) *Turn {
	out := *t
	out.Set = set
	return &out
}

// Write runs f in one writing transaction of a studio that is set up.
func (s *Studio) Write(ctx context.Context, f func(*Turn) error) error {
	return s.Commit(ctx, func(tx Tx) error {
		t, err := s.Turn(ctx, tx)
		if err != nil {
			return err
		}
		if !t.Set.Ready() {
			return fault.New(fault.Refused, "the studio is not set up yet").ToMend("do the set-up first")
		}
		return f(t)
	})
}

// Read runs f on one consistent state.
func (s *Studio) Read(ctx context.Context, f func(*Turn) error) error {
	return s.Store.Read(ctx, func(tx Tx) error {
		t, err := s.Turn(ctx, tx)
		if err != nil {
			return err
		}
		return f(t)
	})
}

// Writes counts the transactions that wrote into the store so far; see Tx.
func (s *Studio) Writes(ctx context.Context) (n int64, err error) {
	err = s.Store.Read(ctx, func(tx Tx) (err error) {
		n, err = tx.Writes()
		return err
	})
	return n, err
}

// Doors are the ways into a room's transactions, each as the room sees it: one that writes, and one that only reads.
func Doors[T any](in func(*Turn) T) (write, read func(context.Context, *Studio, func(T) error) error) {
	door := func(open func(*Studio, context.Context, func(*Turn) error) error) func(context.Context, *Studio, func(T) error) error {
		return func(ctx context.Context, s *Studio, f func(T) error) error {
			return open(s, ctx, func(t *Turn) error { return f(in(t)) })
		}
	}
	return door((*Studio).Write), door((*Studio).Read)
}

// Got is what a transaction of a room comes to; door is one of its Doors.
func Got[R, T any](ctx context.Context, s *Studio, door func(context.Context, *Studio, func(R) error) error, f func(R) (T, error)) (got T, err error) {
	err = door(ctx, s, func(t R) (err error) {
		got, err = f(t)
		return err
	})
	return got, err
}

// OutletOf reads an outlet, once a transaction.
func (t *Turn) OutletOf(id int64) (order.Outlet, error) {
	return Once(t.OutletsRead, id, t.Tx.Outlet)
}

// BuyerOf reads the buyer of an order, once a transaction.
func (t *Turn) BuyerOf(id int64) (order.Buyer, error) {
	return Once(t.BuyersRead, id, t.Tx.Buyer)
}

// KnowBuyers reads the buyers of many orders at once.
func (t *Turn) KnowBuyers(orders []order.Order) error {
	ids := make([]int64, len(orders))
	for i, o := range orders {
		ids[i] = o.Buyer
	}
	slices.Sort(ids)
	found, err := t.Tx.BuyersByID(slices.Compact(ids))
	if len(t.BuyersRead) == 0 && err == nil {
		t.BuyersRead = found
		return nil
	}
	maps.Copy(t.BuyersRead, found)
	return err
}

// EditionOf reads an edition, once a transaction.
func (t *Turn) EditionOf(id int64) (edition.Edition, error) {
	return Once(t.EditionsRead, id, t.Tx.Edition)
}

// Once reads a thing the first time it is asked for.
func Once[V any](seen map[int64]V, id int64, read func(int64) (V, error)) (V, error) {
	if v, ok := seen[id]; ok {
		return v, nil
	}
	v, err := read(id)
	if err == nil {
		seen[id] = v
	}
	return v, err
}

// Cash checks an amount against the studio's currency and gives nothing of no currency that currency.
// Faults: Invalid.
func (t *Turn) Cash(field string, a money.Amount) (money.Amount, error) {
	switch {
	case a.IsZero():
		return money.Of(0, t.Set.Currency), nil
	case a.Currency != t.Set.Currency:
		return a, fault.Invalidf(field, "it is in %.10q, the studio's money is %s", a.Currency, t.Set.Currency).ToMend("give it in %s", t.Set.Currency)
	}
	return a, nil
}

// Journal adds a journal entry; detail holds what undoing it needs.
func (t *Turn) Journal(kind MarkKind, orderID int64, detail any, text string, args ...any) (int64, error) {
	raw, err := json.Marshal(detail)
	if err != nil {
		return 0, fmt.Errorf("journal %s: %w", kind, err)
	}
	return t.Tx.AddMark(Mark{Order: orderID, Kind: kind, Text: fmt.Sprintf(text, args...), Detail: raw, Day: t.Today, At: t.Now, Who: t.Who})
}

// Note journals what is told and not undone.
func (t *Turn) Note(orderID int64, text string, args ...any) error {
	_, err := t.Journal(MarkOther, orderID, nil, text, args...)
	return err
}

// NotFuture checks a day that something happened; no day becomes today. Faults: Invalid.
func (t *Turn) NotFuture(field string, d calendar.Day) (calendar.Day, error) {
	if d.IsZero() {
		return t.Today, nil
	}
	if d.After(t.Today) {
		return d, fault.Invalidf(field, "%s is in the future", d).ToMend("today is %s", t.Today)
	}
	return d, nil
}

// Amount looks at an amount of money alone. Faults: Invalid.
func Amount(field string, a money.Amount) error {
	if a.Sign() < 0 || a.Minor > money.MaxMinor {
		return fault.Invalidf(field, "%s is negative or absurd", a).ToMend("give an amount from 0")
	}
	return nil
}

// ReasonGiven looks at a reason that is recorded. Faults: Invalid.
func ReasonGiven(reason string) error {
	return order.Text("reason", reason, 500, true)
}

// Sane looks at a day alone: none, or within a century of what input may name. Faults: Invalid.
func Sane(field string, d calendar.Day) error {
	if d.IsZero() || !d.Before(calendar.Earliest) && !d.After(calendar.Latest) {
		return nil
	}
	return fault.Invalidf(field, "%s is not a likely day", d).ToMend("look at the year")
}
