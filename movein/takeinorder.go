package movein

import (
	"fmt"

	"solander/edition"
	"solander/intake"
	"solander/order"
	"solander/register"
)

// order writes one order as it was composed.
func (b *bringing) order(x composed, p *intake.Proposal) error {
	o := x.order
	var err error
	if o.Outlet, err = b.outletOf(p.Outlet); err != nil {
		return err
	}
	if o.Buyer, err = b.buyerOf(p.Buyer); err != nil {
		return err
	}
	for i, place := range x.editions {
		o.Lines[i].Edition = b.ed[place].ID
	}
	if o, err = b.AddOrder(o); err != nil {
		return err
	}
	for i := range o.Lines {
		if err := b.line(x, o, i, p.Rows[x.rows[i]]); err != nil {
			return err
		}
	}
	for _, pay := range x.payments {
		pay.Order = o.ID
		if _, err := b.AddPayment(pay); err != nil {
			return err
		}
	}
	b.orderID[x.place] = o.ID
	b.made.Orders++
	b.made.Prints += len(o.Lines)
	b.made.Payments += len(x.payments)
	b.made.Open += btoi(o.State == order.Open)
	return nil
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
