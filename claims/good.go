package claims

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/currencies"
	"solander/exchange"
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
		var again []book.Replaced
		is, err := t.give(was, claim.Replaced, func(o int64, lines []int64) ([]int64, error) {
			u, err := book.In(t.Turn).Replace(book.ReplaceIn{Order: o, Lines: lines, Promised: in.Promised, NewNumber: in.NewNumber, Reason: in.Reason})
			again = append(again, u)
			return u.Lines(), err
		})
		if err != nil {
			return was, err
		}
		return t.keepUndo(is, UndoClaim{Was: &was, Again: again}, "%s", is.Made.Words())
	})
}

// RefundIn pays the prints of a claim back.
type RefundIn struct {
	Claim  int64
	Amount money.Amount  // in the currency in which its orders are owed; shared by the prices of their prints
	Worth  *money.Amount // of another currency than the book's, what the bank took for it; nil: by the rate of the day
	Of     []Back        // instead of both: how much of each order, where they are owed in several currencies
	Keeps  bool          // the buyer keeps the prints, and a part of their price is paid back
	Reason string
}

// Back is what is paid back of one order.
type Back struct {
	Order  int64
	Amount money.Amount
	Worth  *money.Amount
}

// Validate looks at it alone. Faults: Invalid.
func (in RefundIn) Validate() error {
	var l fault.List
	l.Add(studio.ReasonGiven(in.Reason))
	some := false
	for _, b := range append(slices.Clone(in.Of), Back{0, in.Amount, in.Worth}) {
		l.Check(b.Amount.Sign() >= 0 && b.Amount.Minor <= money.MaxMinor, "amount", "the amount is negative or absurd", "give what is paid back")
		if b.Worth != nil {
			l.Add(studio.Amount("worth", *b.Worth))
		}
		some = some || !b.Amount.IsZero()
	}
	l.Check(some, "amount", "nothing is paid back", "give what is paid back")
	l.Check(len(in.Of) == 0 || in.Amount.IsZero() && in.Worth == nil, "amount", "it is said for all orders and for single ones", "say it of each order")
	return l.Err()
}

// Refund pays back: the prints are given up, and their numbers spoilt; or the buyer keeps them. Of an order that was agreed in another currency it
// is paid back in that. Faults: Invalid; Missing; Refused when it was made good already, or more is paid back than came in; those of
// currencies.Settle.
func Refund(ctx context.Context, s *studio.Studio, in RefundIn) (claim.Claim, error) {
	tidy(&in.Reason)
	if err := in.Validate(); err != nil {
		return claim.Claim{}, err
	}
	return deed(ctx, s, in.Claim, func(t *Claims, was claim.Claim) (claim.Claim, error) {
		back, err := t.share(was, in)
		if err != nil {
			return was, err
		}
		if in.Keeps {
			is, err := was.MakeGood(t.Today, claim.Kept, was.Losses, was.Instead)
			if err != nil {
				return was, err
			}
			repaid, err := t.payBack(back, in.Reason)
			if err != nil {
				return was, err
			}
			return t.keepUndo(is, UndoClaim{Was: &was, Repaid: repaid}, "%s paid back, the buyer keeps the print", in.InWords())
		}
		var gone []book.CameBack
		is, err := t.give(was, claim.PaidBack, func(o int64, lines []int64) ([]int64, error) {
			b := back[slices.IndexFunc(back, func(b Back) bool { return b.Order == o })]
			u, err := book.In(t.Turn).TakeBack(book.TakeBackIn{Order: o, Lines: lines, Spoilt: true, Reason: in.Reason, Refund: b.Amount, Worth: b.Worth})
			if f := fault.All(err); err != nil && f[0].Field == "refund" {
				err = fault.InField(err, "amount")
			}
			gone = append(gone, u)
			return nil, err
		})
		if err != nil {
			return was, err
		}
		return t.keepUndo(is, UndoClaim{Was: &was, Gone: gone}, "%s", is.Made.Words())
	})
}

// payBack pays back of each order, and says by which payments.
func (t *Claims) payBack(back []Back, reason string) ([]Repaid, error) {
	var out []Repaid
	for _, b := range back {
		if b.Amount.IsZero() {
			continue
		}
		o, err := t.OrdersByID([]int64{b.Order})
		if err != nil {
			return nil, err
		}
		if err := book.In(t.Turn).Pay(o[0], book.PaymentIn{Order: b.Order, Kind: order.Refund, Amount: b.Amount, Worth: b.Worth, Note: reason}); err != nil {
			return nil, err
		}
		if o, err = t.OrdersByID([]int64{b.Order}); err != nil {
			return nil, err
		}
		latest := slices.MaxFunc(o[0].Payments, func(a, b order.Payment) int { return cmp.Compare(a.ID, b.ID) })
		out = append(out, Repaid{b.Order, latest.ID})
	}
	return out, nil
}

// InWords is what is paid back in all: "20.00 EUR", or of several orders "20.00 EUR and 12.00 USD".
func (in RefundIn) InWords() string {
	if len(in.Of) == 0 {
		return in.Amount.String()
	}
	var out []string
	for _, b := range in.Of {
		if b.Amount.Sign() > 0 {
			out = append(out, b.Amount.String())
		}
	}
	return strings.Join(out, " and ")
}

// share says what is paid back of each order of a claim, in the order of its prints: as it was said, or by the prices of their prints that it is
// about. Faults: Invalid for another order, or one named twice; Refused for one sum of orders that are owed in several currencies.
func (t *Claims) share(c claim.Claim, in RefundIn) ([]Back, error) {
	prints, err := t.printsOf(c)
	if err != nil {
		return nil, err
	}
	all, err := t.bought(prints)
	if err != nil {
		return nil, err
	}
	back, weights := make([]Back, len(all)), make([]int64, len(all))
	for i, x := range all {
		is, first := x.Paid.Currency, all[0].Paid.Currency
		back[i], weights[i] = Back{Order: x.Order, Amount: money.Of(0, is)}, x.Price.Minor
		if len(in.Of) == 0 && is != first {
			return nil, fault.New(fault.Refused, "%s is owed in %s, and %s in %s", all[0].Mark, first, x.Mark, is).In("amount").
				ToMend("say of each order how much is paid back")
		}
	}
	if len(in.Of) == 0 {
		amounts := money.Shares(in.Amount.Minor, weights)
		for i, n := range amounts {
			back[i].Amount = money.Of(n, in.Amount.Currency)
		}
		if in.Worth != nil {
			for i, n := range money.Shares(in.Worth.Minor, amounts) {
				worth := money.Of(n, in.Worth.Currency)
				back[i].Worth = &worth
			}
		}
		return back, nil
	}
	said := map[int64]bool{}
	for _, b := range in.Of {
		i := slices.IndexFunc(back, func(x Back) bool { return x.Order == b.Order })
		if i < 0 || said[b.Order] {
			return nil, fault.Invalidf("amount", "the claim is about no print of such an order, or it is named twice").ToMend("name each order of the claim once")
		}
		said[b.Order], back[i] = true, b
	}
	return back, nil
}

// bought is what prints were sold for, by their order.
func (t *Claims) bought(prints []Print) ([]Bought, error) {
	var out []Bought
	for _, p := range prints {
		i := slices.IndexFunc(out, func(b Bought) bool { return b.Order == p.Order })
		if i < 0 {
			i, out = len(out), append(out, Bought{Order: p.Order, Mark: p.Mark, Price: money.Of(0, p.Price.Currency)})
		}
		out[i].Price.Minor += p.Price.Minor
	}
	for i := range out {
		b := &out[i]
		all, err := t.OrdersByID([]int64{b.Order})
		if err != nil {
			return nil, err
		}
		b.Prints, b.Paid = b.Price, all[0].Paid()
		w, agreed, err := currencies.In(t.Turn).Owing(all[0])
		if err != nil {
			return nil, err
		}
		if !agreed {
			continue
		}
		b.Paid, b.Prints = w.Paid, money.Of(0, w.Paid.Currency)
		if part, err := exchange.Share(b.Price, w.Agreed.Book, w.Agreed.Total); err == nil { // what is too little to be counted is nothing
			b.Prints = part
		}
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

// give makes a claim good to the buyers, order by order, and says how it stands then, with what the prints that are given up had cost.
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
	return was.MakeGood(t.Today, how, losses, instead)
}

func (t *Claims) printsOf(c claim.Claim) ([]Print, error) {
	v, err := t.view(c, nil)
	return v.Prints, err
}
