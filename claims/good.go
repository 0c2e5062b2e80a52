package claims

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// ReplaceIn sends the prints of a claim again.
type ReplaceIn struct {
	Claim     int64
	Promised  calendar.Day // zero: by the outlet's promise, from today
	NewNumber bool         // another number instead of the same one, struck again
	Reason    string
}

// Replace sends the prints of a claim again: their numbers are spoilt and struck again, or others taken, and their order is open again.
// Faults: Invalid; Missing; Refused when it was made good already; those of book.Replace.
func Replace(ctx context.Context, s *studio.Studio, in ReplaceIn) (claim.Claim, error) {
	tidy(&in.Reason)
	var l fault.List
	l.Add(studio.ReasonGiven(in.Reason))
	l.Add(studio.Sane("promised", in.Promised))
	if err := l.Err(); err != nil {
		return claim.Claim{}, err
	}
	return deed(ctx, s, in.Claim, func(t *Claims, was claim.Claim) (claim.Claim, error) {
		return t.give(was, claim.Replaced, func(o int64, lines []int64) ([]int64, error) {
			return book.In(t.Turn).Replace(book.ReplaceIn{Order: o, Lines: lines, Promised: in.Promised, NewNumber: in.NewNumber, Reason: in.Reason})
		})
	})
}

// RefundIn pays the prints of a claim back.
type RefundIn struct {
	Claim  int64
	Amount money.Amount
	Keeps  bool // the buyer keeps the prints, and a part of their price is paid back
	Reason string
}

// Refund pays back: the prints are given up, and their numbers spoilt; or the buyer keeps them. Faults: Invalid; Missing; Refused when it was
// made good already, or more is paid back than came in.
func Refund(ctx context.Context, s *studio.Studio, in RefundIn) (claim.Claim, error) {
	tidy(&in.Reason)
	var l fault.List
	l.Add(studio.ReasonGiven(in.Reason))
	l.Check(in.Amount.Sign() > 0 && in.Amount.Minor <= money.MaxMinor, "amount", "the amount is nothing, negative or absurd", "give what is paid back")
	if err := l.Err(); err != nil {
		return claim.Claim{}, err
	}
	return deed(ctx, s, in.Claim, func(t *Claims, was claim.Claim) (claim.Claim, error) {
		amounts, err := t.share(was, in.Amount)
		if err != nil {
			return was, err
		}
		if in.Keeps {
			is, err := was.MakeGood(t.Today, claim.Kept, was.Losses, was.Instead)
			if err != nil {
				return was, err
			}
			repaid, err := t.payBack(amounts, in.Reason)
			if err != nil {
				return was, err
			}
			return t.keepRepaid(was, is, repaid, "%s paid back, the buyer keeps the print", in.Amount)
		}
		return t.give(was, claim.PaidBack, func(o int64, lines []int64) ([]int64, error) {
			return nil, book.In(t.Turn).TakeBack(book.TakeBackIn{Order: o, Lines: lines, Spoilt: true, Reason: in.Reason, Refund: amounts[o]})
		})
	})
}

// payBack pays back of each order, and says by which payments.
func (t *Claims) payBack(amounts map[int64]money.Amount, reason string) ([]Repaid, error) {
	var out []Repaid
	for _, id := range slices.Sorted(maps.Keys(amounts)) {
		if amounts[id].IsZero() {
			continue
		}
		o, err := t.OrdersByID([]int64{id})
		if err != nil {
			return nil, err
		}
		if err := book.In(t.Turn).Pay(o[0], book.PaymentIn{Order: id, Kind: order.Refund, Amount: amounts[id], Note: reason}); err != nil {
			return nil, err
		}
		if o, err = t.OrdersByID([]int64{id}); err != nil {
			return nil, err
		}
		latest := slices.MaxFunc(o[0].Payments, func(a, b order.Payment) int { return cmp.Compare(a.ID, b.ID) })
		out = append(out, Repaid{id, latest.ID})
	}
	return out, nil
}

// share divides what is paid back over the orders of a claim, by the prices of their prints that it is about.
func (t *Claims) share(c claim.Claim, whole money.Amount) (map[int64]money.Amount, error) {
	prints, err := t.printsOf(c)
	if err != nil {
		return nil, err
	}
	var orders, weights []int64
	for _, p := range prints {
		i := slices.Index(orders, p.Order)
		if i < 0 {
			i, orders, weights = len(orders), append(orders, p.Order), append(weights, 0)
		}
		weights[i] += p.Price.Minor
	}
	out := map[int64]money.Amount{}
	for i, n := range money.Shares(whole.Minor, weights) {
		out[orders[i]] = money.Of(n, whole.Currency)
	}
	return out, nil
}

// part is the lines of a claim that are of one order.
type part struct {
	order int64
	lines []int64
}

func (t *Claims) byOrder(c claim.Claim) ([]part, error) {
	p, err := t.Parcel(c.Parcel)
	if err != nil {
		return nil, err
	}
	orders, err := t.OrdersByID(p.OrderIDs())
	if err != nil {
		return nil, err
	}
	var out []part
	for _, o := range orders {
		x := part{order: o.ID}
		for _, l := range o.Lines {
			if slices.Contains(c.Lines, l.ID) {
				x.lines = append(x.lines, l.ID)
			}
		}
		if len(x.lines) > 0 {
			out = append(out, x)
		}
	}
	return out, nil
}

// give makes a claim good to the buyers, order by order, and notes what the prints that are given up had cost. It stands in the register, and so
// is not taken back with the claim.
func (t *Claims) give(was claim.Claim, how claim.Made, f func(order int64, lines []int64) ([]int64, error)) (claim.Claim, error) {
	if _, err := was.MakeGood(t.Today, how, nil, nil); err != nil {
		return was, err
	}
	parts, err := t.byOrder(was)
	if err != nil {
		return was, err
	}
	prints, err := t.printsOf(was)
	if err != nil {
		return was, err
	}
	losses, err := t.losses(prints)
	if err != nil {
		return was, err
	}
	instead := []int64{}
	for _, p := range parts {
		lines, err := f(p.order, p.lines)
		if err != nil {
			return was, err
		}
		instead = append(instead, lines...)
	}
	is, err := was.MakeGood(t.Today, how, losses, instead)
	if err != nil {
		return was, err
	}
	is.Turn++
	if err := t.SaveClaim(is); err != nil {
		return was, err
	}
	return is, t.Note(is.Order, "claim %d: %s", is.ID, is.Made.Words())
}

func (t *Claims) printsOf(c claim.Claim) ([]Print, error) {
	v, err := t.view(c, nil)
	return v.Prints, err
}
