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
	How    order.How      // by what it was made; a refund goes the way that the payments came, when nothing is said
	Came   *exchange.Came // as it came in another currency, when it did; Amount is then what it settles
	Fee    *money.Amount  // what was kept back of it on its way; nil: by the outlet's fee table
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
		l.Check(in.Fee.Minor <= max(in.Amount.Minor, 0), "fee", fmt.Sprintf("%s is more than what was paid", *in.Fee), "give what was kept back of it")
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
// or more paid back than came in, naming how much it may be.
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
	a, err := t.Cash("amount", in.Amount)
	if err != nil {
		return err
	}
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return err
	}
	if day.Before(o.Placed) {
		return fault.Invalidf("day", "%s is before the day of the sale, %s", day, o.Placed).ToMend("look at both days")
	}
	if in.Kind == order.Refund {
		return t.refund(o, a, day, in)
	}
	if err := t.inItsCurrency(o, in.Came); err != nil {
		return err
	}
	owed := o.Owed()
	if a.Minor > owed.Minor {
		return overpaid(o, a, owed)
	}
	if in.Kind == "" {
		in.Kind = order.Deposit
		if a.Minor == owed.Minor {
			in.Kind = order.Balance
		}
	}
	fee, err := t.keptBack(o, a, day, in)
	if err != nil {
		return err
	}
	return t.addPayment(o, order.Payment{Order: o.ID, Kind: in.Kind, Amount: a, Day: day, Note: in.Note, Fee: fee, How: in.How}, in.Came)
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

func overpaid(o order.Order, a, owed money.Amount) error {
	f := fault.New(fault.Refused, "%s is more than the %s that is owed", a, owed).At("%s", o.Mark).In("amount")
	if owed.Sign() <= 0 {
		return fault.New(fault.Refused, "nothing is owed any more").At("%s", o.Mark).In("amount").ToMend("look at the payments of the order")
	}
	return f.ToMend("enter %s at most", owed)
}

// refund pays money back; nothing when the amount is zero.
func (t *Book) refund(o order.Order, a money.Amount, day calendar.Day, in PaymentIn) error {
	if a.IsZero() {
		return nil
	}
	if err := t.inItsCurrency(o, in.Came); err != nil {
		return fault.InField(err, "refund")
	}
	a, err := t.Cash("refund", a)
	if err != nil {
		return err
	}
	if paid := o.Paid(); a.Minor > paid.Minor {
		return fault.New(fault.Refused, "%s is more than the %s that was paid", a, paid).At("%s", o.Mark).In("refund").ToMend("pay back %s at most", paid)
	}
	return t.addPayment(o, order.Payment{Order: o.ID, Kind: order.Refund, Amount: a, Day: day, Note: in.Note, How: cmp.Or(in.How, o.OneHow())}, in.Came)
}

// inItsCurrency refuses money in the book's currency for an order that was agreed in another one: what it settles nobody could say.
func (t *Book) inItsCurrency(o order.Order, came *exchange.Came) error {
	if came != nil {
		return nil
	}
	a, err := t.AgreedOf(o.ID)
	if err != nil || !a.Stands() {
		return err
	}
	return fault.New(fault.Refused, "this order was agreed as %s", a.Total).At("%s", o.Mark).In("amount").
		ToMend("note the payment in %s, under earnings, currencies, with what it was worth; or end the agreement first", a.Total.Currency)
}

// Received is how much of a currency the standing payments of an order brought, less what was paid back of it.
func Received(o order.Order, came []exchange.Came, currency string) money.Amount {
	sum := money.Of(0, currency)
	for _, c := range came {
		i := slices.IndexFunc(o.Payments, func(p order.Payment) bool { return p.ID == c.Payment })
		if i < 0 || o.Payments[i].Reversed || c.Amount.Currency != currency {
			continue
		}
		if o.Payments[i].Kind == order.Refund {
			sum.Minor -= c.Amount.Minor
		} else {
			sum.Minor += c.Amount.Minor
		}
	}
	return sum
}

// goesUp refuses to leave an order of which something is owed in the one currency and nothing in the other.
func (t *Book) goesUp(o order.Order) error {
	a, err := t.AgreedOf(o.ID)
	if err != nil || !a.Stands() || o.Due() != a.Book {
		return err
	}
	came, err := t.CameOf(o.ID)
	if err != nil {
		return err
	}
	if left := a.Total.Minor - Received(o, came, a.Total.Currency).Minor; left < 0 || (left == 0) != o.Owed().IsZero() {
		return fault.New(fault.Refused, "the payments after it follow from it").At("%s", o.Mark).ToMend("take the later payments back first")
	}
	return nil
}

func (t *Book) addPayment(o order.Order, p order.Payment, came *exchange.Came) (err error) {
	if p.Fee.IsZero() {
		p.Fee = money.Amount{} // as its paper says it, which leaves nothing out but nothing
	}
	if p.ID, err = t.AddPayment(p); err != nil {
		return err
	}
	if came != nil {
		c := *came
		c.Payment, c.Order, c.At, c.Who = p.ID, o.ID, t.Now, t.Who
		if _, err = t.AddCame(c); err != nil {
			return err
		}
	}
	_, err = t.Journal(studio.MarkPaid, o.ID, UndoPaid{p.ID, &p}, "%s", p.Told())
	return err
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
	case o.InPerson && o.State == order.Closed && o.Owed().Sign() > 0 && o.Override == nil:
		return fault.New(fault.Refused, "the order was handed over because it was paid").At("%s", o.Mark).ToMend("take the hand-over back first")
	case len(parcels) > 0 && o.Owed().Sign() > 0 && o.Override == nil:
		return fault.New(fault.Refused, "the order was packed because it was paid").At("%s", o.Mark).ToMend("undo the packing first")
	}
	return t.goesUp(o)
}
