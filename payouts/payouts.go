// Package payouts is use cases: what an outlet pays out of many sales in one sum, taken apart again into what it kept of each; and taken back.
package payouts

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"solander/book"
	"solander/calendar"
	"solander/charging"
	"solander/dispatch"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	charging.PayoutStore
	Order(id int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	SaveOrder(order.Order) error
	Outlets() ([]order.Outlet, error)
	BankedOrders(ids []int64) ([]int64, error)
}

// Payouts is one transaction as this room sees it.
type Payouts struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Payouts { return &Payouts{t, t.Tx} }

var write, read = studio.Doors(In)

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
	l.Check(len(in.Orders) > 0, "orders", "no order is named", "name those that it is of")
	l.Check(len(in.Orders) <= mostOrders, "orders", fmt.Sprintf("a payout of %d orders", len(in.Orders)), fmt.Sprintf("name 1 to %d orders", mostOrders))
	sorted := slices.Sorted(slices.Values(in.Orders))
	l.Check(len(slices.Compact(sorted)) == len(in.Orders), "orders", "an order is named twice", "name each once")
	l.Add(studio.Sane("day", in.Day))
	l.Add(order.Note("note", in.Note))
	return l.Err()
}

// Part is what a payout says of one order.
type Part struct {
	charging.PaidOut
	Mark string       `json:"mark"`
	Net  money.Amount `json:"net"`
}

// View is a payout with its parts, by order.
type View struct {
	charging.Payout
	OutletName string       `json:"outlet_name"`
	Reckoned   money.Amount `json:"reckoned"` // what the fees until then would have left
	Parts      []Part       `json:"parts"`
}

// More is by how much the outlet kept more than was reckoned; less than nothing when it kept less.
func (v View) More() money.Amount { return money.Of(v.Reckoned.Minor-v.Net.Minor, v.Net.Currency) }

// Take takes a payout apart and enters it: what an order still owes is paid, and its fee becomes what the outlet kept of it. The parts come to
// the sum to the cent. Faults: Invalid; Missing; Taken when an order was paid out before; Refused when an order is of another outlet, or the sum
// is more than the sales can leave.
func Take(ctx context.Context, s *studio.Studio, in Payout) (View, error) {
	if err := in.Validate(); err != nil {
		return View{}, err
	}
	return studio.Got(ctx, s, write, func(t *Payouts) (View, error) { return t.take(in) })
}

// errForeseen ends the transaction of Foresee, so that nothing of it is kept.
var errForeseen = errors.New("payouts: nothing is to be kept")

// Foresee takes a payout apart as Take does, in a transaction that is then taken back. Faults: as Take.
func Foresee(ctx context.Context, s *studio.Studio, in Payout) (v View, err error) {
	if err := in.Validate(); err != nil {
		return v, err
	}
	err = write(studio.Part(ctx), s, func(t *Payouts) (err error) {
		if v, err = t.take(in); err != nil {
			return err
		}
		return errForeseen
	})
	if errors.Is(err, errForeseen) {
		err = nil
	}
	return v, err
}

func (t *Payouts) take(in Payout) (v View, err error) {
	v.Payout = charging.Payout{Note: in.Note, At: t.Now, Who: t.Who}
	if v.Payout.Net, err = t.Cash("net", in.Net); err != nil {
		return v, err
	}
	if v.Day, err = t.NotFuture("day", in.Day); err != nil {
		return v, err
	}
	u, err := t.OutletOf(in.Outlet)
	if err != nil {
		return v, fault.InField(err, "outlet")
	}
	v.Outlet, v.OutletName = u.ID, u.Name
	before, err := t.PayoutOf(in.Orders)
	if err != nil {
		return v, err
	}
	apart, err := t.BankedOrders(in.Orders)
	if err != nil {
		return v, err
	}
	orders, sales := make([]order.Order, len(in.Orders)), make([]charging.Paid, len(in.Orders))
	v.Parts = make([]Part, len(in.Orders))
	for i, id := range in.Orders {
		if err := t.once(id, before[id]); err != nil {
			return v, err
		}
		if orders[i], v.Parts[i].Noted, err = t.settled(id, u, v.Day, in.Note); err != nil {
			return v, err
		}
		if slices.Contains(apart, id) {
			return v, fault.New(fault.Refused, "a line of the bank is its payment already").At("%s", orders[i].Mark).In("orders").ToMend("leave it out, or open that line again")
		}
		sales[i] = saleOf(orders[i])
	}
	fees, err := charging.Apart(v.Net, sales)
	if err != nil {
		return v, err
	}
	v.Reckoned = money.Of(0, v.Net.Currency)
	kept := make([]charging.PaidOut, len(orders))
	for i, o := range orders {
		p := &v.Parts[i]
		p.Order, p.Mark, p.Gross, p.Was, p.Fee, p.Payment = o.ID, o.Mark, sales[i].Gross, o.Fee, fees[i], sales[i].Payment
		p.Net = p.PaidOut.Net()
		v.Reckoned.Minor += sales[i].Left().Minor
		if err := t.feeBecomes(o, p.Fee); err != nil {
			return v, err
		}
		if err := t.Note(o.ID, "%s paid out by %s, with %s in all: of %s it kept %s", p.Net, u.Name, v.Net, p.Gross, p.Fee); err != nil {
			return v, err
		}
		kept[i] = p.PaidOut
	}
	v.ID, err = t.AddPayout(v.Payout, kept)
	return v, err
}

// once refuses an order that was paid out before.
func (t *Payouts) once(id, before int64) error {
	if before == 0 {
		return nil
	}
	o, err := t.Order(id)
	if err != nil {
		return err
	}
	p, err := t.Payout(before)
	if err != nil {
		return err
	}
	return fault.New(fault.Taken, "it was paid out on %s already, with %s in all", p.Day.Long(), p.Net).At("%s", o.Mark).In("orders").ToMend("leave it out, or take payout %d back first", p.ID)
}

// feeBecomes gives an order another fee of its outlet.
func (t *Payouts) feeBecomes(o order.Order, fee money.Amount) error {
	if o.Fee == fee {
		return nil
	}
	o.Fee = fee
	return t.SaveOrder(o)
}

// settled is an order of the outlet with what it still owed paid, and the payment that was noted for that.
func (t *Payouts) settled(id int64, u order.Outlet, day calendar.Day, note string) (o order.Order, noted int64, err error) {
	if o, err = t.Order(id); err != nil {
		return o, 0, fault.InField(err, "orders")
	}
	switch {
	case o.Outlet != u.ID:
		return o, 0, fault.New(fault.Refused, "it was sold elsewhere than at %s", u.Name).At("%s", o.Mark).In("orders").ToMend("leave it out, or look at its outlet")
	case o.Owed().Sign() <= 0:
		return o, 0, nil
	}
	if err := book.In(t.Turn).Pay(o, book.PaymentIn{Order: id, Amount: o.Owed(), Day: day, Note: note}); err != nil {
		return o, 0, fault.Placed(err, o.Mark)
	}
	if o, err = t.Order(id); err != nil {
		return o, 0, err
	}
	for _, p := range o.Payments {
		noted = max(noted, p.ID)
	}
	return o, noted, nil
}

// saleOf is an order as its outlet pays it out: what its buyer paid, and what was kept of that.
func saleOf(o order.Order) charging.Paid {
	sum := money.Of(0, o.Postage.Currency)
	for _, p := range o.Payments {
		if !p.Reversed {
			sum.Minor += p.Fee.Minor
		}
	}
	return charging.Paid{Gross: o.Paid(), Fee: o.Fee, Payment: sum}
}

// TakeBack takes a payout back that was entered wrongly: payments that it noted are taken back, and each order has the fee again that it had.
// Faults: Missing; Refused when it was taken back already, or when the fee of an order was corrected since, or its payment cannot go.
func TakeBack(ctx context.Context, s *studio.Studio, id int64) (View, error) {
	return studio.Got(ctx, s, write, func(t *Payouts) (View, error) {
		v, err := t.view(id)
		if err != nil {
			return v, err
		}
		if v.Back {
			return v, fault.New(fault.Refused, "it was taken back already").At("payout %d", id).ToMend("look at the list again")
		}
		for _, p := range v.Parts {
			if err := t.unsettle(p); err != nil {
				return v, fault.Placed(err, p.Mark)
			}
		}
		v.Back = true
		return v, t.TakePayoutBack(id)
	})
}

func (t *Payouts) unsettle(p Part) error {
	o, err := t.Order(p.Order)
	if err != nil {
		return err
	}
	if o.Fee != p.Fee {
		return fault.New(fault.Refused, "its fee was corrected since, from %s to %s", p.Fee, o.Fee).ToMend("correct it back on its page first")
	}
	if err := t.feeBecomes(o, p.Was); err != nil {
		return err
	}
	if i := slices.IndexFunc(o.Payments, func(x order.Payment) bool { return x.ID == p.Noted && !x.Reversed }); i >= 0 {
		if err := t.unpay(o.ID, p.Noted); err != nil {
			return err
		}
	}
	return t.Note(o.ID, "payout %d taken back: %s of it", p.Payout, p.Net)
}

// unpay takes back the mark by which a payment was noted.
func (t *Payouts) unpay(id, payment int64) error {
	m, err := book.In(t.Turn).PaidMark(id, payment)
	if err != nil {
		return err
	}
	return dispatch.In(t.Turn).TakeBack(m)
}
