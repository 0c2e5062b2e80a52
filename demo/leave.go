package demo

import (
	"slices"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/dispatch"
	"solander/labelling"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/packing/scale"
	"solander/planning"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// goOn lets orders go on that are not new: the rest is paid, a buyer changes her mind, a parcel comes back.
func (p *past) goOn(st *studio.Studio) error {
	var left []*story
	for _, x := range p.stories {
		ends, err := p.next(st, x)
		if err != nil {
			return err
		}
		if !ends {
			left = append(left, x)
		}
	}
	p.stories = left
	return nil
}

func (p *past) next(st *studio.Studio, x *story) (ends bool, err error) {
	isDue := !x.due.IsZero() && !x.due.After(p.day)
	back := !x.comesOn.IsZero() && (!x.comesOn.After(p.day) || p.lastDay())
	if !isDue && !back && x.fate != isCancelled {
		return false, nil
	}
	o, err := p.t.Tx.Order(x.order)
	if err != nil {
		return false, err
	}
	switch {
	case back:
		reason := pick(p.gen, []string{"the colours did not suit the room", "arrived after the birthday"})
		if err := book.TakeBack(p.ctx, st, book.TakeBackIn{Order: o.ID, Reason: reason, Refund: o.Paid()}); err != nil {
			return false, err
		}
		return true, p.credit(o.ID, dollars(0), reason)
	case x.fate == isCancelled:
		reason := pick(p.gen, []string{"bought twice by mistake", "changed her mind", "wanted another size"})
		if err := book.Cancel(p.ctx, st, book.CancelIn{Order: o.ID, Reason: reason, Refund: o.Paid()}); err != nil {
			return false, err
		}
		return true, p.credit(o.ID, dollars(0), reason)
	}
	x.due = calendar.Day{}
	return false, book.In(p.t).Pay(o, book.PaymentIn{Order: o.ID, Amount: o.Owed()})
}

// at is the place of the story of an open order.
func (p *past) at(id int64) int {
	return slices.IndexFunc(p.stories, func(x *story) bool { return x.order == id })
}

// sign signs the paid orders of which every sheet is there. A sheet is sometimes spoilt while it is signed: then the
// number is struck again and a second sheet takes it.
func (p *past) sign(st *studio.Studio, d *studio.Drawer) error {
	var lines []int64
	var signed []order.Line
	spoilt := false
	for _, o := range d.Orders {
		pending := bench.Pending(o)
		if p.stories[p.at(o.ID)].fate == isCancelled || o.Owed().Sign() > 0 && o.Override == nil || !studio.AllIn(pending, d.Sheets.Has) {
			continue
		}
		for _, l := range pending {
			if l.Signed {
				continue
			}
			lines, signed = append(lines, l.ID), append(signed, l)
			if spoilt || l.Number.IsZero() || d.Spare(l.Edition) < 1 || p.nearEnd() || p.below(120) > 0 {
				continue
			}
			spoilt = true
			if err := p.spoil(st, l, pick(p.gen, []string{"ink on the margin", "graphite smeared", "thumb print in the image"})); err != nil {
				return err
			}
		}
	}
	if err := register.In(p.t).Sign(lines, d); err != nil {
		return err
	}
	return p.certify(st, signed)
}

// spoil spoils the unsigned sheet of a line and strikes its number again.
func (p *past) spoil(st *studio.Studio, l order.Line, why string) error {
	err := register.Spoil(p.ctx, st, register.SpoilIn{Edition: l.Edition, Number: l.Number, Reason: why, SheetLost: true})
	if err != nil {
		return err
	}
	return register.Restrike(p.ctx, st, l.Edition, l.Number, why)
}

// leave packs, labels and hands over everything signed; one order in six is left for the next time.
func (p *past) leave(st *studio.Studio, d *studio.Drawer) error {
	var leaving []order.Order
	for _, o := range d.Orders {
		if o.MayLeave() == nil && allSigned(o) && (p.below(6) > 0 || o.Promised.Before(p.day.Add(3)) || p.lastDay()) {
			leaving = append(leaving, o)
		}
	}
	if len(leaving) == 0 {
		return nil
	}
	d.Orders = leaving
	ask, err := planning.DayAskOf(st, planning.In(p.t), d, p.day, nil)
	if err != nil {
		return err
	}
	none := 0 // nobody asks any more what else was tried
	ask.Base.Options.RejectedMost = &none
	plans, err := st.Plans.Of(p.ctx, ask)
	if err != nil {
		return err
	}
	for _, o := range leaving {
		parcels, err := dispatch.In(p.t).PackAs(o, d, plans[o.ID])
		if err != nil {
			return err
		}
		if err := p.label(st, parcels, o.ShipTo.Country); err != nil {
			return err
		}
		p.sent(p.at(o.ID))
	}
	if err := p.letUntold(st, leaving); err != nil {
		return err
	}
	_, err = dispatch.HandOver(p.ctx, st, dispatch.HandOverIn{Day: p.day})
	return err
}

func allSigned(o order.Order) bool {
	for _, l := range bench.Pending(o) {
		if !l.Signed {
			return false
		}
	}
	return true
}

// label notes the postage of parcels, each with its own number.
func (p *past) label(st *studio.Studio, parcels []studio.Parcel, country string) error {
	for _, x := range parcels {
		p.serial++
		err := labelling.Label(p.ctx, st, labelling.LabelIn{
			Parcel: x.ID, Paid: p.paid(x.Estimated), Tracking: p.tracking(p.serial, country, "US"), Weighed: p.weighed(x),
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// weighed is what her scale said of a parcel, to a tenth of an ounce: of every tube of the last year, which are half an ounce heavier
// than planned, and of a few others, which are not. It takes no chance, so that all else stays as it is.
func (p *past) weighed(x studio.Parcel) *measure.Mass {
	tenth := measure.Ounce / 10
	off, rolled := measure.Mass(p.serial*7%5-2)*tenth/2, x.Plan.Shape == packing.Rolled
	if rolled {
		off += 5 * tenth
	}
	if p.day.Before(p.today.Add(-365)) || !rolled && p.serial%6 > 0 {
		return nil
	}
	m := scale.Bias{Off: off}.Corrected(x.Bare, measure.Imperial)
	return &m
}

// sent ends the story of an order, but for one that comes back.
func (p *past) sent(at int) {
	if x := p.stories[at]; x.fate == isReturned {
		x.comesOn = p.working.Add(p.day, 8+p.below(10))
		return
	}
	p.stories = slices.Delete(p.stories, at, at+1)
}

// lastDay reports the last day or two of book work of the past: such days are at most a week apart.
func (p *past) lastDay() bool { return p.day.Add(8).After(p.today.Add(-pastEnds)) }

// paid is the postage she paid: mostly what the card says, now and then a little more or less.
func (p *past) paid(estimated money.Amount) money.Amount {
	switch p.below(10) {
	case 0:
		estimated.Minor += int64(15 + p.below(60))
	case 1:
		estimated.Minor -= min(estimated.Minor/10, int64(p.below(30)))
	}
	return estimated
}

// restock buys new packs of the packaging that runs low.
func (p *past) restock(st *studio.Studio, _ *studio.Drawer) error {
	items, err := p.t.Tx.Shelf()
	if err != nil {
		return err
	}
	for _, it := range items {
		if it.Stock > it.ReorderAt {
			continue
		}
		if err := stockroom.Restock(p.ctx, st, it.ID, max(it.Pack, 10), nil); err != nil {
			return err
		}
	}
	return nil
}
