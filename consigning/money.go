package consigning

import (
	"context"
	"slices"

	"solander/calendar"
	"solander/consign"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// MoneyIn is money of a gallery.
type MoneyIn struct {
	Gallery int64
	Kind    consign.Kind
	Amount  money.Amount
	Day     calendar.Day // zero: today
	Note    string
}

// NoteMoney notes that a gallery paid, that it takes off costs, or what it cost to send prints there.
// Faults: Invalid; Missing; Refused when more is paid or taken off than is owed.
func NoteMoney(ctx context.Context, s *studio.Studio, in MoneyIn) (consign.Money, error) {
	var l fault.List
	l.Check(slices.Contains(consign.Kinds(), in.Kind), "kind", "it is not said what money it is", "use paid, costs or freight")
	l.Check(in.Amount.Sign() > 0 && in.Amount.Minor <= money.MaxMinor, "amount", "the amount is nothing, negative or absurd", "give what was paid")
	l.Add(studio.Sane("day", in.Day))
	l.Add(order.Note("note", in.Note))
	if err := l.Err(); err != nil {
		return consign.Money{}, err
	}
	return studio.Got(ctx, s, write, func(t *Consigning) (consign.Money, error) { return t.TakeMoney(in) })
}

// TakeMoney is NoteMoney within a transaction that does more.
func (t *Consigning) TakeMoney(in MoneyIn) (consign.Money, error) {
	m := consign.Money{Gallery: in.Gallery, Kind: in.Kind, Note: in.Note, At: t.Now, Who: t.Who}
	h, err := t.Gallery(in.Gallery)
	if err != nil {
		return m, err
	}
	if m.Amount, err = t.Turn.Cash("amount", in.Amount); err != nil {
		return m, err
	}
	if m.Day, err = t.NotFuture("day", in.Day); err != nil {
		return m, err
	}
	owed, err := t.Owes(h.ID)
	if err != nil {
		return m, err
	}
	if m.Kind != consign.Freight && m.Amount.Minor > owed.Minor {
		return m, fault.New(fault.Refused, "%s is more than the %s that it owes", m.Amount, owed).At("%s", h.Name).In("amount").ToMend("note first what it sold")
	}
	if m.ID, err = t.AddGalleryMoney(m); err != nil {
		return m, err
	}
	return m, t.Turn.Note(0, "%s: %s %s", h.Name, m.Amount, m.Kind.Words())
}

// Owes is what a gallery owes.
func (t *Consigning) Owes(gallery int64) (money.Amount, error) {
	prints, err := t.Consignments(consign.Query{Gallery: gallery})
	if err != nil {
		return money.Amount{}, err
	}
	moneys, err := t.GalleryMoneys(gallery)
	if err != nil {
		return money.Amount{}, err
	}
	return consign.Owed(prints, moneys, t.Set.Currency)
}

// OpenStatements are the months of sales of which a gallery still owes something, the oldest first.
func (t *Consigning) OpenStatements(gallery int64) ([]consign.OpenStatement, error) {
	prints, err := t.Consignments(consign.Query{Gallery: gallery})
	if err != nil {
		return nil, err
	}
	moneys, err := t.GalleryMoneys(gallery)
	return consign.OpenStatements(consign.Debts(prints, moneys, 0, t.Today)), err
}

// ReverseMoney takes back money that was noted wrongly. Faults: Missing; Refused when it was taken back already.
func ReverseMoney(ctx context.Context, s *studio.Studio, id int64) (consign.Money, error) {
	return studio.Got(ctx, s, write, func(t *Consigning) (consign.Money, error) {
		m, err := t.GalleryMoney(id)
		if err != nil {
			return m, err
		}
		if m.Reversed {
			return m, fault.New(fault.Refused, "it was taken back already").In("money").ToMend("look at the list again")
		}
		m.Reversed = true
		if err := t.ReverseGalleryMoney(id); err != nil {
			return m, err
		}
		return m, t.Note(0, "%s %s: taken back", m.Amount, m.Kind.Words())
	})
}
