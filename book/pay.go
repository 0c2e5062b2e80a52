package book

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/exchange"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// PaymentIn is money in, or with order.Refund money back.
type PaymentIn struct {
	Order  int64
	Kind   order.PaymentKind // "": a balance when it settles the order, else a deposit
	Amount money.Amount
	Day    calendar.Day // zero: today
	Note   string
	How    order.How     // by what it was made; a refund goes the way that the payments came, when nothing is said
	Worth  *money.Amount // of an amount in another currency than the book's, what the bank made of it; nil: by the rate of the day
	Any    bool          // such an amount may come without that the order was agreed in its currency
	Seen   *money.Amount // what was owed in the book's currency when it was asked for, as in another window; nil: whatever is
	Before *money.Amount // what had been paid when it was asked for, less what was paid back; nil: whatever was
	Fee    *money.Amount // what was kept back of it on its way; nil: by the outlet's fee table
}

// Validate looks at a payment alone. Faults: Invalid.
func (in PaymentIn) Validate() error {
	var l fault.List
	l.Check(slices.Contains(order.Hows(), in.How), "how", fmt.Sprintf("%.20q is no way of paying", string(in.How)), "use cash, card or other")
	l.Check(in.Kind == "" || slices.Contains(order.PaymentKinds(), in.Kind), "kind", fmt.Sprintf("%.20q is not a kind of payment", string(in.Kind)), "use deposit, balance or refund")
	l.Check(in.Amount.Sign() > 0 && in.Amount.Minor <= money.MaxMinor, "amount", "the amount is nothing, negative or absurd", "give what was paid; a refund is positive too")
	if in.Fee != nil {
		l.Add(studio.Amount("fee", *in.Fee))
		l.Check(in.Kind != order.Refund || in.Fee.IsZero(), "fee", "nothing is kept back of a refund", "leave the fee out")
		if in.Fee.Currency == in.Amount.Currency {
			l.Check(in.Fee.Minor <= max(in.Amount.Minor, 0), "fee", fmt.Sprintf("%s is more than what was paid", *in.Fee), "give what was kept back of it")
		}
	}
	l.Add(studio.Sane("day", in.Day))
	l.Add(order.Note("note", in.Note))
	return l.Err()
}

// UndoPaid is what taking a payment back needs.
type UndoPaid struct {
	Payment int64          `json:"payment"`
	Of      *order.Payment `json:"of,omitempty"` // as it was recorded; older marks lack it
}

// Pay records a payment or a refund. Faults: Invalid; Missing; Refused when more is paid than is owed,
// or more paid back than came in, naming how much it may be; Changed when something else is owed or was paid than was seen.
func Pay(ctx context.Context, s *studio.Studio, in PaymentIn) error {
	if err := in.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Book) error {
		o, err := t.Order(in.Order)
		if err != nil {
			return err
		}
		return t.Pay(o, in)
	})
}

// Pay is the use case Pay within a transaction.
func (t *Book) Pay(o order.Order, in PaymentIn) error {
	_, err := t.take(o, in)
	return err
}

func (t *Book) take(o order.Order, in PaymentIn) (Taken, error) {
	out := Taken{Owed: o.Owed()}
	if in.Seen != nil && *in.Seen != out.Owed {
		return out, fault.New(fault.Changed, "it is %s meanwhile, and was %s when this was opened", order.OwedInWords(out.Owed), order.OwedInWords(*in.Seen)).
			At("%s", o.Mark).In("amount").ToMend("look at the payments of the order; sent again, this stands")
	}
	if paid := o.Paid(); in.Before != nil && *in.Before != paid {
		return out, fault.New(fault.Changed, "%s of it are paid meanwhile, and %s were when this was opened", paid, *in.Before).
			At("%s", o.Mark).In("amount").ToMend("look at the payments of the order; sent again, this stands")
	}
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return out, err
	}
	if day.Before(o.Placed) {
		return out, fault.Invalidf("day", "%s is before the day of the sale, %s", day, o.Placed).ToMend("look at both days")
	}
	if in.Kind == order.Refund {
		return t.refund(o, day, in, "amount")
	}
	if out, err = t.settles(o, day, in); err != nil {
		return out, err
	}
	if most := o.Short(); out.Settled.Minor > most.Minor {
		return out, overpaid(o, out.Settled, most)
	}
	if in.Kind == "" {
		in.Kind = order.Deposit
		if out.Settled.Minor >= out.Owed.Minor {
			in.Kind = order.Balance
		}
	}
	came := out.Settled
	if out.Came != nil {
		came = out.Came.Worth // what went by the way, whatever it settles
	}
	fee, err := t.keptBack(o, came, day, in)
	if err != nil {
		return out, err
	}
	out.ID, err = t.addPayment(o, order.Payment{Order: o.ID, Kind: in.Kind, Amount: out.Settled, Day: day, Note: out.noted(in.Note), Fee: fee, How: in.How}, out.Came)
	return out, err
}

// keptBack is what is kept of a payment on its way: what was said, or by the outlet's fee table of its day. Of cash nobody keeps anything.
func (t *Book) keptBack(o order.Order, paid money.Amount, day calendar.Day, in PaymentIn) (money.Amount, error) {
	if in.Fee != nil {
		return t.Cash("fee", *in.Fee)
	}
	if in.How == order.InCash {
		return money.Amount{}, nil
	}
	u, err := t.OutletOf(o.Outlet)
	if err != nil {
		return money.Amount{}, err
	}
	return KeptBack(u, paid, day)
}

// KeptBack is what is kept of a payment to an outlet on its way, by the table of the outlet.
func KeptBack(u order.Outlet, paid money.Amount, day calendar.Day) (money.Amount, error) {
	bill, err := u.Fees.OnPayment(paid, day)
	if err != nil || len(bill) == 0 {
		return money.Amount{}, err
	}
	fee, err := bill.Sum()
	fee.Minor = min(fee.Minor, paid.Minor)
	return fee, err
}

// overpaid refuses what is more than may come: what is owed, and what is not asked for any more, which a buyer may pay all the same.
func overpaid(o order.Order, a, most money.Amount) error {
	f := fault.New(fault.Refused, "%s is more than the %s that is owed", a, most).At("%s", o.Mark).In("amount")
	switch given := o.Given(); {
	case most.Sign() <= 0:
		return fault.New(fault.Refused, "nothing is owed any more").At("%s", o.Mark).In("amount").ToMend("look at the payments of the order")
	case given.Sign() > 0:
		f = fault.New(fault.Refused, "%s is more than the %s that is owed and was paid back or taken off", a, most).At("%s", o.Mark).In("amount")
	}
	return f.ToMend("enter %s at most", most)
}

// refund pays money back; nothing when the amount is zero. Faults: at the field that is named.
func (t *Book) refund(o order.Order, day calendar.Day, in PaymentIn, field string) (Taken, error) {
	in.Kind = order.Refund
	out := Taken{Owed: o.Owed()}
	if in.Amount.IsZero() {
		return out, nil
	}
	out, err := t.settles(o, day, in)
	if err != nil {
		return out, paidAt(err, field, "worth")
	}
	if paid := o.Paid(); out.Settled.Minor > paid.Minor {
		return out, fault.New(fault.Refused, "%s is more than the %s that was paid", out.Settled, paid).At("%s", o.Mark).In(field).ToMend("pay back %s at most", paid)
	}
	out.ID, err = t.addPayment(o, order.Payment{Order: o.ID, Kind: order.Refund, Amount: out.Settled, Day: day, Note: out.noted(in.Note), How: cmp.Or(in.How, o.OneHow())}, out.Came)
	return out, err
}

// paidAt names the field of an amount for what is wrong with a payment, and that of its worth for what is wrong with that.
func paidAt(err error, field, worth string) error {
	if err != nil && fault.All(err)[0].Field == "worth" {
		field = worth
	}
	return fault.InField(err, field)
}

func (t *Book) addPayment(o order.Order, p order.Payment, came *exchange.Came) (id int64, err error) {
	if p.Fee.IsZero() {
		p.Fee = money.Amount{} // as its paper says it, which leaves nothing out but nothing
	}
	if p.ID, err = t.AddPayment(p); err != nil {
		return 0, err
	}
	if came != nil {
		c := *came
		c.Payment, c.Order, c.At, c.Who = p.ID, o.ID, t.Now, t.Who
		if _, err = t.AddCame(c); err != nil {
			return 0, err
		}
	}
	_, err = t.Journal(studio.MarkPaid, o.ID, UndoPaid{p.ID, &p}, "%s", p.Told())
	return p.ID, err
}

// PaidMark is the mark that tells of a payment of an order and was not undone. Faults: Refused when the journal tells of it no more.
func (t *Book) PaidMark(orderID, payment int64) (studio.Mark, error) {
	marks, err := t.Marks(orderID)
	if err != nil {
		return studio.Mark{}, err
	}
	for _, m := range marks {
		var u UndoPaid
		if m.Kind == studio.MarkPaid && !m.Undone && json.Unmarshal(m.Detail, &u) == nil && u.Payment == payment {
			return m, nil
		}
	}
	return studio.Mark{}, fault.New(fault.Refused, "its payment is not in the journal of the order any more, as after a buyer was erased").ToMend("pay it back instead")
}

// UndoPay takes a payment back, unless the order could not stand where it stands without it.
func (t *Book) UndoPay(orderID int64, u UndoPaid) error {
	o, err := t.Order(orderID)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(o.Payments, func(p order.Payment) bool { return p.ID == u.Payment })
	if i < 0 {
		return fault.New(fault.Missing, "the payment is gone").At("%s", o.Mark)
	}
	if err := t.ReversePayment(u.Payment); err != nil {
		return err
	}
	later := slices.ContainsFunc(o.Payments, func(p order.Payment) bool { return p.ID > u.Payment && !p.Reversed })
	o.Payments = slices.Clone(o.Payments)
	o.Payments[i].Reversed = true
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return err
	}
	switch {
	case o.Paid().Sign() < 0:
		return fault.New(fault.Refused, "more would be paid back than came in").At("%s", o.Mark).ToMend("take the refund back first")
	case o.Payments[i].Kind == order.Refund && later && o.Owed().Sign() < 0:
		return fault.New(fault.Refused, "it was paid again since").At("%s", o.Mark).ToMend("take the later payment back first")
	case o.Payments[i].Kind == order.Refund: // with it taken back more is paid than before
	case o.InPerson && o.State == order.Closed && o.Owed().Sign() > 0 && o.Override == nil:
		return fault.New(fault.Refused, "the order was handed over because it was paid").At("%s", o.Mark).ToMend("take the hand-over back first")
	case len(parcels) > 0 && o.Owed().Sign() > 0 && o.Override == nil:
		return fault.New(fault.Refused, "the order was packed because it was paid").At("%s", o.Mark).ToMend("undo the packing first")
	}
	return t.goesUp(o)
}
