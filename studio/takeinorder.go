package studio

import (
	"fmt"
	"strings"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/order"
)

// bringOrder is one order on its way into the book.
type bringOrder struct {
	*bringing
	p     *intake.Proposal
	o     order.Order
	out   order.Outlet
	left  calendar.Day // the day it left the house, or ended; no day: it did not
	guess bool         // that day is not in the file: the day of the sale stands for it
}

func (b *bringing) order(p *intake.Proposal) error {
	x := &bringOrder{bringing: b, p: p}
	for _, step := range []func() error{x.head, x.days, x.lines, x.add, x.steps, x.payments} {
		if err := step(); err != nil {
			return err
		}
	}
	for place, origin := range p.Rows {
		b.rows = append(b.rows, keptOrigin{x.o.ID, place, origin})
	}
	b.made.Orders++
	if x.o.State == order.Open {
		b.made.Open++
	}
	return nil
}

// head is outlet, buyer, address, charges and texts. The address of what is still to be sent must be sound; that of
// what left long ago is kept as it stands.
func (x *bringOrder) head() error {
	var err error
	if x.out, err = x.outletOf(x.p.Outlet); err != nil {
		return err
	}
	buyer, err := x.buyerOf(x.p.Buyer)
	if err != nil {
		return err
	}
	ship := x.p.ShipTo.Tidy()
	if ship.Name == "" {
		ship.Name = buyer.Name
	}
	x.o = order.Order{
		Said: x.trial.Buyers[x.p.Buyer].Said, Outlet: x.out.ID, Ref: strings.TrimSpace(x.p.Ref), Buyer: buyer.ID, Placed: x.p.Placed, ShipTo: ship, TaxByOutlet: x.out.CollectsTax,
		Note: x.noteText(), GiftMessage: x.p.Gift, State: stateOf(x.p.State),
	}
	if err := x.unknownRef(x.out, x.o.Ref); err != nil {
		return err
	}
	var l fault.List
	if x.o.State == order.Open {
		l.Add(ship.Validate())
	}
	l.Add(order.Text("ref", x.o.Ref, 80, false))
	l.Add(order.Note("note", x.o.Note))
	l.Add(order.Note("gift_message", x.o.GiftMessage))
	if err := l.Err(); err != nil {
		return err
	}
	if x.o.Postage, err = x.cash("postage", x.p.Postage); err != nil {
		return err
	}
	x.o.Tax, err = x.cash("tax", x.p.Tax)
	return err
}

// noteText is the note of the row, with a tracking number that belongs to no parcel of ours.
func (x *bringOrder) noteText() string {
	note := x.p.Note
	if x.p.Tracking != "" {
		note = strings.TrimSpace(note + "\ntracking " + x.p.Tracking)
	}
	return note
}

func stateOf(m intake.Meaning) order.State {
	switch m {
	case intake.Sent:
		return order.Closed
	case intake.Cancelled:
		return order.Cancelled
	case intake.Returned:
		return order.Returned
	}
	return order.Open
}

// days settles when it was placed, is promised, and left.
func (x *bringOrder) days() error {
	placed, err := x.notFuture("placed", x.o.Placed)
	if err != nil {
		return err
	}
	if x.o.State == order.Open {
		x.o.ArriveBy = x.p.ArriveBy
		x.o.Placed, x.o.Promised, err = x.turn.days(Sale{Placed: placed, Promised: x.p.Promised, ArriveBy: x.p.ArriveBy}, x.out)
		return err
	}
	x.left, x.guess = x.p.SentOn, x.p.SentOn.IsZero()
	if x.left.IsZero() {
		x.left = placed
	}
	if x.left, err = x.notFuture("sent_on", x.left); err != nil {
		return err
	}
	if x.left.Before(placed) {
		return fault.Invalidf("sent_on", "%s is before the day of the sale, %s", x.left, placed).ToMend("look at both days")
	}
	x.o.Placed, x.o.Closed = placed, x.left
	x.o.Promised = latest(placed, x.p.Promised)
	if x.p.Promised.IsZero() {
		x.o.Promised = x.left
	}
	if !x.p.ArriveBy.IsZero() && !x.p.ArriveBy.Before(x.o.Promised) {
		x.o.ArriveBy = x.p.ArriveBy
	}
	return nil
}

// lines gives each print its edition, number and price, and the order the outlet's fee.
func (x *bringOrder) lines() error {
	if len(x.p.Lines) == 0 {
		return fault.New(fault.Invalid, "the row says no print").ToMend("write the title")
	}
	for _, l := range x.p.Lines {
		if l.Edition < 0 {
			return fault.New(fault.Invalid, "the row does not say which print").ToMend("write the title")
		}
		line, err := x.line(x.ed[l.Edition], l)
		if err != nil {
			return err
		}
		x.o.Lines = append(x.o.Lines, line)
		x.made.Prints++
	}
	if x.p.Fee != nil {
		fee, err := x.cash("fee", *x.p.Fee)
		x.o.Fee = fee
		return err
	}
	var err error
	x.o.Fee, err = x.feeOf(x.o)
	return err
}

func (x *bringOrder) line(e edition.Edition, l intake.Line) (order.Line, error) {
	line := order.Line{Edition: e.ID, Number: l.Number, Price: e.Price}
	if l.Price != nil {
		price, err := x.cash("price", *l.Price)
		if err != nil {
			return line, err
		}
		line.Price = price
	}
	gone := x.o.State == order.Closed || x.o.State == order.Returned
	switch {
	case e.Open():
		line.Number = edition.Number{}
		if line.Signed, line.Sent = gone, gone; gone {
			line.SignedDay = x.left
		}
	case !l.Number.IsZero():
		if err := l.Number.In(e); err != nil {
			return line, at(err, e.Title)
		}
	case gone:
		return line, fault.New(fault.Refused, "a print of %s left the house, and no number is said", e.Title).ToMend("write its number")
	case x.o.State == order.Open:
		n, err := x.nextFree(e)
		if err != nil {
			return line, err
		}
		line.Number = n
	}
	line.Dropped = x.o.State == order.Cancelled || x.o.State == order.Returned
	return line, nil
}

// nextFree returns the lowest number that a line may have and that no row of the file claims.
func (x *bringOrder) nextFree(e edition.Edition) (edition.Number, error) {
	list, ok := x.free[e.ID]
	if !ok {
		rows, err := x.Numbers(e.ID)
		if err != nil {
			return edition.Number{}, err
		}
		for _, r := range rows {
			st := r.Standing
			_, claimed := x.claimed[numberKey{e.ID, r.Number}]
			if r.Number.Kind == edition.Numbered && !claimed && st.Line == 0 && (st.State == edition.Free || st.State == edition.Signed) {
				list = append(list, r.Number)
			}
		}
	}
	if len(list) == 0 {
		return edition.Number{}, fault.New(fault.Refused, "none of the %d is left for it", e.Limit).At("%s", e.Name(x.set.Units)).ToMend("look at the numbers that the file names, or at its limit")
	}
	x.free[e.ID] = list[1:]
	return list[0], nil
}

func (x *bringOrder) add() (err error) {
	x.o, err = x.AddOrder(x.o)
	return err
}

// steps enters what happened to each number: promised, and of what left also signed and sent, on the days of the file.
func (x *bringOrder) steps() error {
	for i, l := range x.o.Lines {
		e, err := x.edition(l.Edition)
		if err != nil {
			return err
		}
		if x.o.State == order.Returned {
			x.back[e.ID]++
		}
		if l.Number.IsZero() || x.o.State == order.Cancelled {
			continue
		}
		if err := x.walk(e, l, x.p.Rows[x.p.Lines[i].Row]); err != nil {
			return x.heldWhere(err, e, l.Number)
		}
	}
	return nil
}

func (x *bringOrder) walk(e edition.Edition, l order.Line, row intake.Origin) error {
	note := fmt.Sprintf("brought in from %s, %s", x.trial.Name, rowWords(row))
	before, err := x.Standing(e.ID, l.Number)
	if err != nil {
		return err
	}
	step := stepOf{ed: e, number: l.Number, step: edition.Promise, line: l.ID, order: x.o.Mark, note: note, day: x.o.Placed}
	if _, err := x.take(step); err != nil || x.o.State == order.Open {
		return err
	}
	step.line, step.day = 0, x.left
	if x.guess {
		step.note += "; the day is not in the file"
	}
	steps := []edition.Step{edition.Sign, edition.Send, edition.Return}
	if before.Signed {
		steps = steps[1:]
	}
	if x.o.State != order.Returned {
		steps = steps[:len(steps)-1]
	}
	for _, step.step = range steps {
		if _, err := x.take(step); err != nil {
			return err
		}
	}
	return nil
}

// heldWhere adds who has a number, and of which row, to a fault about it.
func (x *bringOrder) heldWhere(err error, e edition.Edition, n edition.Number) error {
	if !fault.Is(err, fault.Taken) && !fault.Is(err, fault.Refused) {
		return err
	}
	st, e2 := x.Standing(e.ID, n)
	if e2 != nil || st.Line == 0 {
		return err
	}
	held, e2 := x.OrderByLine(st.Line)
	if e2 != nil {
		return err
	}
	who := held.Mark
	if rows, e3 := x.Origins(held.ID); e3 == nil && len(rows) > 0 {
		who += ", made of " + rowWords(rows[0].Origin) + " of " + rows[0].File
	}
	return fault.New(fault.Taken, "%s of %s is held by %s", n.Of(e), e.Title, who).ToMend("correct the row, or give that order another number").Because(err)
}

// payments enters the money of the row. What was paid beyond what is due stays as the row says: it is owed back.
func (x *bringOrder) payments() error {
	for _, p := range x.p.Payments {
		a, err := x.cash("paid", p.Amount)
		if err != nil || a.IsZero() {
			return err
		}
		kind := order.Deposit
		if a.Sign() < 0 {
			kind, a = order.Refund, a.Neg()
		} else if owed := x.o.Owed(); owed.Sign() > 0 && a.Minor >= owed.Minor || owed.Sign() <= 0 {
			kind = order.Balance
		}
		if err := amount("paid", a); err != nil {
			return err
		}
		day := p.Day
		if day.IsZero() || day.After(x.today) {
			day = x.o.Placed
		}
		pay := order.Payment{Order: x.o.ID, Kind: kind, Amount: a, Day: day, Note: "brought in: " + p.From}
		if pay.ID, err = x.AddPayment(pay); err != nil {
			return err
		}
		x.o.Payments = append(x.o.Payments, pay)
		x.made.Payments++
	}
	return nil
}
