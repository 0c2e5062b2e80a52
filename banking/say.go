package banking

import (
	"context"
	"slices"

	"solander/bankfile"
	"solander/book"
	"solander/fault"
	"solander/matching"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// mostOpen is how many open lines are looked at at once, the newest.
const mostOpen = 500

// OpenLine is a line of which nothing was said yet, with what it may be.
type OpenLine struct {
	bankfile.Kept
	matching.Found
}

// Open returns the latest lines of an account of which nothing was said yet, each with what it may be. Faults: Missing.
func Open(ctx context.Context, s *studio.Studio, account int64) ([]OpenLine, error) {
	return studio.Got(ctx, s, read, func(t *Banking) ([]OpenLine, error) {
		if _, err := t.BankAccount(account); err != nil {
			return nil, err
		}
		lines, err := t.BankLines(bankfile.Query{Account: account, State: bankfile.Open, Limit: mostOpen})
		if err != nil || len(lines) == 0 {
			return nil, err
		}
		in := make([]matching.Line, len(lines))
		for i, l := range lines {
			in[i] = matching.Line{ID: l.ID, Day: l.Day, Amount: l.Amount, Text: l.Name + " " + l.Note}
		}
		all, err := t.candidates(lines)
		if err != nil {
			return nil, err
		}
		out := make([]OpenLine, len(lines))
		for i, f := range matching.Of(in, all) {
			out[i] = OpenLine{lines[i], f}
		}
		return out, nil
	})
}

// candidates are payments of about those days without a line, and what open orders owe.
func (t *Banking) candidates(lines []bankfile.Kept) ([]matching.Candidate, error) {
	wanted := map[money.Amount]bool{}
	for _, l := range lines {
		wanted[l.Amount] = true
	}
	newest, oldest := lines[0].Day, lines[len(lines)-1].Day
	paid, err := t.Unbanked(oldest.Add(-matching.Reach), newest.Add(matching.Reach))
	if err != nil {
		return nil, err
	}
	paid = slices.DeleteFunc(paid, func(p order.Payment) bool { return !wanted[signed(p)] })
	var ids []int64
	for _, p := range paid {
		ids = append(ids, p.Order)
	}
	slices.Sort(ids)
	orders, err := t.OrdersByID(slices.Compact(ids))
	if err != nil {
		return nil, err
	}
	open, err := t.OpenOrders()
	if err != nil {
		return nil, err
	}
	open = slices.DeleteFunc(open, func(o order.Order) bool { return o.Owed().Sign() <= 0 || !wanted[o.Owed()] })
	if err := t.KnowBuyers(slices.Concat(orders, open)); err != nil {
		return nil, err
	}
	by := map[int64]order.Order{}
	for _, o := range orders {
		by[o.ID] = o
	}
	var out []matching.Candidate
	for _, p := range paid {
		o := by[p.Order]
		out = append(out, matching.Candidate{Payment: p.ID, Order: o.ID, Mark: o.Mark, Ref: o.Ref, Buyer: t.BuyersRead[o.Buyer].Name, Amount: signed(p), Day: p.Day})
	}
	for _, o := range open {
		out = append(out, matching.Candidate{Order: o.ID, Mark: o.Mark, Ref: o.Ref, Buyer: t.BuyersRead[o.Buyer].Name, Amount: o.Owed(), Day: o.Placed})
	}
	return out, nil
}

// signed is what a payment is at the bank: a refund goes out.
func signed(p order.Payment) money.Amount {
	if p.Kind == order.Refund {
		return p.Amount.Neg()
	}
	return p.Amount
}

// MatchIn is her word that a line is a payment: one of the book, or of an order one that is noted by that.
type MatchIn struct {
	Line    int64
	Payment int64 // 0: it is noted now
	Order   int64 // of which it is noted; 0 with a payment
}

// Match says of lines that they are payments, all or none.
// Faults: Missing; Taken when a payment has another line; Refused when a line is no longer open, or the amounts differ, or the payment was reversed;
// as book.Pay says when one is noted.
func Match(ctx context.Context, s *studio.Studio, all []MatchIn) error {
	if len(all) == 0 {
		return fault.Invalidf("line", "no line is chosen").ToMend("tick those that are right")
	}
	return write(ctx, s, func(t *Banking) error {
		for _, in := range all {
			if err := t.match(in); err != nil {
				return err
			}
		}
		return nil
	})
}

func (t *Banking) match(in MatchIn) error {
	l, err := t.BankLine(in.Line)
	if err != nil {
		return err
	}
	where := l.Day.Long() + ", " + l.Amount.String()
	if l.State != bankfile.Open {
		return fault.New(fault.Refused, "it was said of the line already what it is").At("%s", where).In("line").ToMend("take that back first")
	}
	if in.Payment == 0 {
		if in.Payment, err = t.noted(in.Order, l); err != nil {
			return studio.At(err, where)
		}
	}
	p, err := t.Payment(in.Payment)
	if err != nil {
		return err
	}
	switch {
	case p.Reversed:
		return fault.New(fault.Refused, "the payment was taken back").At("%s", where).In("payment").ToMend("choose another one")
	case signed(p) != l.Amount:
		return fault.New(fault.Refused, "the payment is of %s", signed(p)).At("%s", where).In("payment").ToMend("choose one of %s", l.Amount)
	}
	l.State, l.Payment, l.Why, l.At, l.Who = bankfile.Matched, p.ID, "", t.Now, t.Who
	return studio.At(t.SayBankLine(l), where)
}

// noted notes what a line says as a payment of an order, and returns it.
func (t *Banking) noted(id int64, l bankfile.Kept) (int64, error) {
	o, err := t.Order(id)
	if err != nil {
		return 0, err
	}
	in := book.PaymentIn{Order: o.ID, Amount: l.Amount, Day: l.Day}
	if l.Amount.Sign() < 0 {
		in.Kind, in.Amount = order.Refund, l.Amount.Neg()
	}
	if err := book.In(t.Turn).Pay(o, in); err != nil {
		return 0, err
	}
	if o, err = t.Order(id); err != nil {
		return 0, err
	}
	latest := int64(0)
	for _, p := range o.Payments {
		latest = max(latest, p.ID)
	}
	return latest, nil
}

// SetAside says of a line that it has nothing to do with a payment. Faults: Invalid without a reason; Missing; Refused when it is matched.
func SetAside(ctx context.Context, s *studio.Studio, line int64, why string) error {
	if err := order.Text("why", why, 200, true); err != nil {
		return err
	}
	return write(ctx, s, func(t *Banking) error {
		l, err := t.BankLine(line)
		if err != nil {
			return err
		}
		if l.State == bankfile.Matched {
			return fault.New(fault.Refused, "it is the payment of %s", l.Mark).In("line").ToMend("part it from the payment first")
		}
		l.State, l.Why, l.At, l.Who = bankfile.Aside, why, t.Now, t.Who
		return t.SayBankLine(l)
	})
}

// Reopen takes back what was said of a line: it is open again. The payment stays in the book. Faults: Missing; Refused when nothing was said.
func Reopen(ctx context.Context, s *studio.Studio, line int64) error {
	return write(ctx, s, func(t *Banking) error {
		l, err := t.BankLine(line)
		if err != nil {
			return err
		}
		if l.State == bankfile.Open {
			return fault.New(fault.Refused, "nothing was said of it").In("line").ToMend("look at the list again")
		}
		l.State, l.Payment, l.Why, l.At, l.Who = bankfile.Open, 0, "", t.Now, t.Who
		return t.SayBankLine(l)
	})
}

// Lines returns lines of an account in a state, newest first. Faults: Missing.
func Lines(ctx context.Context, s *studio.Studio, q bankfile.Query) ([]bankfile.Kept, error) {
	return studio.Got(ctx, s, read, func(t *Banking) ([]bankfile.Kept, error) {
		if _, err := t.BankAccount(q.Account); err != nil {
			return nil, err
		}
		lines, err := t.BankLines(q)
		return append([]bankfile.Kept{}, lines...), err
	})
}

// Line returns one. Faults: Missing.
func Line(ctx context.Context, s *studio.Studio, id int64) (bankfile.Kept, error) {
	return studio.Got(ctx, s, read, func(t *Banking) (bankfile.Kept, error) { return t.BankLine(id) })
}
