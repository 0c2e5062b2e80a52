package movein

import (
	"fmt"

	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// waiting are orders that were composed, and are written at once.
type waiting struct {
	drafts []composed
	orders []order.Order
}

// writtenAtOnce is how many orders are in memory before they are written.
const writtenAtOnce = 256

// order takes one order as it was composed, and writes it with others.
func (b *bringing) order(x composed) error {
	p := &b.trial.Proposals[x.place]
	o := x.order
	var err error
	if o.Outlet, err = b.outletOf(p.Outlet); err == nil {
		o.Buyer, err = b.buyerOf(p.Buyer)
	}
	if err != nil {
		return b.blame(err, p)
	}
	for i, place := range x.editions {
		o.Lines[i].Edition = b.ed[place].ID
	}
	b.waiting.drafts, b.waiting.orders = append(b.waiting.drafts, x), append(b.waiting.orders, o)
	if len(b.waiting.orders) < writtenAtOnce {
		return nil
	}
	return b.write()
}

// write writes the orders that wait: they, their payments, and what happened to their numbers.
func (b *bringing) write() error {
	w := b.waiting
	if b.waiting = (waiting{}); len(w.orders) == 0 {
		return nil
	}
	all := b.trial.Name + ", " + rowWords(b.trial.Proposals[w.drafts[0].place].Rows[0]) + " and those after it"
	orders, err := b.AddOrders(w.orders)
	if err != nil {
		return fault.Placed(err, all)
	}
	var payments []order.Payment
	for i, x := range w.drafts {
		for _, pay := range x.payments {
			pay.Order = orders[i].ID
			payments = append(payments, pay)
		}
		b.orderID[x.place] = orders[i].ID
		b.made.Prints += len(orders[i].Lines)
		b.made.Open += btoi(orders[i].State == order.Open)
	}
	b.made.Orders += len(orders)
	b.made.Payments += len(payments)
	if err := b.AddPayments(payments); err != nil {
		return fault.Placed(err, all)
	}
	if err := b.Foresee(b.steps(w.drafts, orders)); err != nil {
		return fault.Placed(err, all)
	}
	for i, x := range w.drafts {
		p := &b.trial.Proposals[x.place]
		for j := range orders[i].Lines {
			if err := b.line(x, orders[i], j, p.Rows[x.rows[j]]); err != nil {
				return b.blame(err, p)
			}
		}
	}
	return nil
}

// steps are the numbers that go steps, and the lines that take them.
func (b *bringing) steps(drafts []composed, orders []order.Order) (numbers []studio.NumberKey, lines []int64) {
	for i, x := range drafts {
		for j, l := range orders[i].Lines {
			if len(x.steps[j]) > 0 {
				numbers, lines = append(numbers, studio.NumberKey{Edition: l.Edition, Number: l.Number}), append(lines, l.ID)
			}
		}
	}
	return numbers, lines
}

// line enters what happened to the number of a line: promised, and of what left also signed and sent, on the days of the file.
func (b *bringing) line(x composed, o order.Order, i int, row intake.Origin) error {
	l, e := o.Lines[i], b.ed[x.editions[i]]
	if o.State == order.Returned {
		b.back[e.ID]++
	}
	note := fmt.Sprintf("brought in from %s, %s", b.trial.Name, rowWords(row))
	for _, step := range x.steps[i] {
		s := register.StepOf{Ed: e, Number: l.Number, Step: step, Order: o.Mark, Note: note, Day: x.left}
		if step == edition.Promise {
			s.Line, s.Day = l.ID, o.Placed
		} else if x.guess {
			s.Note += "; the day is not in the file"
		}
		if _, err := register.In(b.Turn).Take(s); err != nil {
			return err
		}
	}
	return nil
}
