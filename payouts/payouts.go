// Package payouts is use cases: what an outlet pays out of many sales in one sum, taken apart again into what it kept of each.
package payouts

import (
	"context"
	"fmt"
	"slices"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	Order(id int64) (order.Order, error)
	SaveOrder(order.Order) error
}

// Payouts is one transaction as this room sees it.
type Payouts struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Payouts { return &Payouts{t, t.Tx} }

var write, _ = studio.Doors(In)

// Payout is a sum that an outlet paid out, and the orders that it is of.
type Payout struct {
	Outlet int64
	Net    money.Amount
	Orders []int64
	Day    calendar.Day // zero: today
	Note   string
}

// mostOrders bounds a payout; beyond lies a typing error.
const mostOrders = 2000

// Validate looks at a payout alone. Faults: Invalid.
func (in Payout) Validate() error {
	var l fault.List
	l.Check(in.Net.Sign() >= 0 && in.Net.Minor <= money.MaxMinor, "net", "the sum is negative or absurd", "give what came in")
	l.Check(len(in.Orders) > 0 && len(in.Orders) <= mostOrders, "orders", fmt.Sprintf("a payout of %d orders", len(in.Orders)), fmt.Sprintf("name 1 to %d orders", mostOrders))
	sorted := slices.Sorted(slices.Values(in.Orders))
	l.Check(len(slices.Compact(sorted)) == len(in.Orders), "orders", "an order is named twice", "name each once")
	l.Add(studio.Sane("day", in.Day))
	l.Add(order.Note("note", in.Note))
	return l.Err()
}

// Part is what a payout says of one order.
type Part struct {
	Order   int64        `json:"order"`
	Mark    string       `json:"mark"`
	Gross   money.Amount `json:"gross"` // what its buyer paid
	Was     money.Amount `json:"fee_reckoned"`
	Fee     money.Amount `json:"fee"`
	Payment money.Amount `json:"payment_fees"`
	Net     money.Amount `json:"net"`
}

// Take takes a payout apart and enters it: what an order still owes is paid, and its fee becomes what the outlet kept of it. The parts come to
// the sum to the cent. Faults: Invalid; Missing; Refused when an order is of another outlet, or the sum is more than the sales can leave.
func Take(ctx context.Context, s *studio.Studio, in Payout) ([]Part, error) {
	if err := in.Validate(); err != nil {
		return nil, err
	}
	return studio.Got(ctx, s, write, func(t *Payouts) ([]Part, error) { return t.take(in) })
}

func (t *Payouts) take(in Payout) ([]Part, error) {
	net, err := t.Cash("net", in.Net)
	if err != nil {
		return nil, err
	}
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return nil, err
	}
	u, err := t.OutletOf(in.Outlet)
	if err != nil {
		return nil, studio.InField(err, "outlet")
	}
	orders, sales := make([]order.Order, len(in.Orders)), make([]charging.Paid, len(in.Orders))
	for i, id := range in.Orders {
		if orders[i], err = t.settled(id, u, day, in.Note); err != nil {
			return nil, err
		}
		sales[i] = charging.Paid{Gross: orders[i].Paid(), Fee: orders[i].Fee, Payment: kept(orders[i])}
	}
	fees, err := charging.Apart(net, sales)
	if err != nil {
		return nil, err
	}
	out := make([]Part, len(orders))
	for i, o := range orders {
		p := Part{Order: o.ID, Mark: o.Mark, Gross: sales[i].Gross, Was: o.Fee, Fee: fees[i], Payment: sales[i].Payment}
		p.Net = money.Of(p.Gross.Minor-p.Fee.Minor-p.Payment.Minor, net.Currency)
		out[i] = p
		if o.Fee = fees[i]; p.Was != p.Fee {
			if err := t.SaveOrder(o); err != nil {
				return nil, err
			}
		}
		if err := t.Note(o.ID, "%s paid out by %s, with %s in all: of %s it kept %s", p.Net, u.Name, net, p.Gross, p.Fee); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// settled is an order of the outlet with what it still owed paid.
func (t *Payouts) settled(id int64, u order.Outlet, day calendar.Day, note string) (order.Order, error) {
	o, err := t.Order(id)
	if err != nil {
		return o, studio.InField(err, "orders")
	}
	switch {
	case o.Outlet != u.ID:
		return o, fault.New(fault.Refused, "it was sold elsewhere than at %s", u.Name).At("%s", o.Mark).In("orders").ToMend("leave it out, or look at its outlet")
	case o.Owed().Sign() <= 0:
		return o, nil
	}
	if err := book.In(t.Turn).Pay(o, book.PaymentIn{Order: id, Amount: o.Owed(), Day: day, Note: note}); err != nil {
		return o, err
	}
	return t.Order(id)
}

// kept is what was kept of the payments of an order.
func kept(o order.Order) money.Amount {
	sum := money.Of(0, o.Postage.Currency)
	for _, p := range o.Payments {
		if !p.Reversed {
			sum.Minor += p.Fee.Minor
		}
	}
	return sum
}
