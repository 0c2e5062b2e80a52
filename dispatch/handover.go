package dispatch

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/claims"
	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/planning"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// HandOverIn gives parcels to the operator.
type HandOverIn struct {
	Day     calendar.Day // zero: today
	Parcels []int64      // empty: all that are labelled
	Note    string
}

// Validate looks at the hand-over alone. Faults: Invalid.
func (in HandOverIn) Validate() error {
	var l fault.List
	l.Add(studio.Sane("day", in.Day))
	l.Add(order.Note("note", in.Note))
	if len(in.Parcels) > 0 {
		l.Add(register.SomeOnce("parcels", len(in.Parcels), in.Parcels))
	}
	return l.Err()
}

// undoHandedOver is what taking a hand-over back needs.
type undoHandedOver struct {
	HandOver int64                  `json:"hand_over"` // 0: in person, without a parcel
	Parcels  []int64                `json:"parcels"`
	Prints   []register.SignedPrint `json:"prints"` // with the turn of their step "send"
	Told     []int64                `json:"told"`   // marks in the journals of its orders
}

// batch is a hand-over being made.
type batch struct {
	studio.HandOver
	undo   undoHandedOver
	orders map[int64]order.Order
	shelf  []studio.ShelfItem
}

// HandOver gives labelled parcels to the operator: numbers are sent, sheets leave the drawer and
// packaging the shelf, and an order of which everything is sent is closed. One mark for the batch.
// Faults: Invalid; Missing; Refused when a parcel is not labelled, an order may not leave, or the stock
// does not hold what the parcels take.
func HandOver(ctx context.Context, s *studio.Studio, in HandOverIn) (studio.HandOver, error) {
	if err := in.Validate(); err != nil {
		return studio.HandOver{}, err
	}
	var out studio.HandOver
	err := write(ctx, s, func(t *Dispatch) error {
		parcels, err := t.labelledParcels(in.Parcels)
		if err != nil {
			return err
		}
		out, err = t.handOver(in, parcels)
		return err
	})
	return out, err
}

// labelledParcels returns the parcels asked for, or all that are labelled.
func (t *Dispatch) labelledParcels(ids []int64) ([]studio.Parcel, error) {
	var out []studio.Parcel
	if len(ids) == 0 {
		open, err := t.OpenParcels()
		if err != nil {
			return nil, err
		}
		for _, p := range open {
			if p.State == studio.Labelled {
				out = append(out, p)
			}
		}
		if len(out) == 0 {
			return nil, fault.New(fault.Refused, "no parcel is labelled").ToMend("label what is packed first")
		}
	}
	for _, id := range ids {
		p, err := t.Parcel(id)
		if err != nil {
			return nil, fault.InField(err, "parcels")
		}
		if p.State != studio.Labelled {
			return nil, fault.New(fault.Refused, "parcel %d is %s", id, p.State).In("parcels").ToMend("only a labelled parcel is handed over")
		}
		out = append(out, p)
	}
	return out, nil
}

func (t *Dispatch) handOver(in HandOverIn, parcels []studio.Parcel) (studio.HandOver, error) {
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return studio.HandOver{}, err
	}
	b := batch{HandOver: studio.HandOver{Day: day, Parcels: len(parcels), Note: in.Note}, orders: map[int64]order.Order{}}
	if b.ID, err = t.AddHandOver(b.HandOver); err != nil {
		return b.HandOver, err
	}
	b.undo.HandOver = b.ID
	if err := t.mayGo(&b, parcels); err != nil {
		return b.HandOver, err
	}
	if b.shelf, err = t.Shelf(); err != nil {
		return b.HandOver, err
	}
	for _, p := range parcels {
		if err := t.sendParcel(&b, p); err != nil {
			return b.HandOver, err
		}
	}
	if err := t.closeSent(&b); err != nil {
		return b.HandOver, err
	}
	return b.HandOver, t.handOverMark(&b)
}

// mayGo reads every order of the parcels and looks at it before any is sent. Faults: Refused, everything that any of them lacks.
func (t *Dispatch) mayGo(b *batch, parcels []studio.Parcel) error {
	all, err := t.OrdersByID(planning.SharersOf(parcels))
	if err != nil {
		return err
	}
	tell, err := t.Untold(all...)
	if err != nil {
		return err
	}
	var l fault.List
	for i, o := range all {
		b.orders[o.ID] = o
		if err := studio.StillOpen(o); err != nil {
			l.Add(err)
			continue
		}
		l.Add(o.Refuse(bench.LacksToGo(o, tell[i])))
	}
	if err := l.Err(); err != nil {
		return err
	}
	for i, o := range all {
		if err := t.untold(o, tell[i]); err != nil {
			return err
		}
	}
	return nil
}

// untold notes with an order that its prints go before their buyer was told what the rules of a state ask for: an override lets them, and it is never silent.
func (t *Dispatch) untold(o order.Order, tell []bench.Tell) error {
	if len(tell) == 0 {
		return nil
	}
	var all []string
	for _, x := range tell {
		all = append(all, x.Text)
	}
	return t.Note(o.ID, "handed over with %s", strings.Join(all, "; "))
}

func (t *Dispatch) sendParcel(b *batch, p studio.Parcel) error {
	if b.Day.Before(p.Labelled) {
		return fault.Invalidf("day", "%s is before parcel %d was labelled, %s", b.Day, p.ID, p.Labelled).ToMend("look at the day")
	}
	var all []order.Order
	for _, id := range p.OrderIDs() {
		all = append(all, b.orders[id])
	}
	for _, id := range p.Lines {
		o := Holding(all, id)
		if err := t.sendLine(b, o, id); err != nil {
			return fault.Placed(err, o.Mark)
		}
	}
	if err := t.packaging(b.shelf, p, -1, planning.MarksOf(all)+" handed over"); err != nil {
		return err
	}
	p.State, p.HandedOver, p.HandOver = studio.HandedOver, b.Day, b.ID
	b.undo.Parcels = append(b.undo.Parcels, p.ID)
	return t.SaveParcel(p)
}

// Holding returns the order that a line is of; the first when it is of none.
func Holding(orders []order.Order, line int64) order.Order {
	for _, o := range orders {
		if _, ok := studio.LineOf(o, line); ok {
			return o
		}
	}
	return orders[0]
}

func (t *Dispatch) sendLine(b *batch, o order.Order, id int64) error {
	i := slices.IndexFunc(o.Lines, func(l order.Line) bool { return l.ID == id })
	if i < 0 || o.Lines[i].Dropped || o.Lines[i].Sent {
		return fault.New(fault.Internal, "line %d of %s is in a parcel, but not to be sent", id, o.Mark)
	}
	l := &o.Lines[i] // of the batch, which closes the orders of which all is sent
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	print := register.SignedPrint{Line: id, Edition: e.ID, Number: l.Number}
	if !l.Number.IsZero() {
		entry, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: l.Number, Step: edition.Send, Order: o.Mark, Note: b.how()})
		if err != nil {
			return err
		}
		print.Turn = entry.Turn
	}
	l.Sent = true
	if err := t.SaveLine(*l); err != nil {
		return err
	}
	b.undo.Prints = append(b.undo.Prints, print)
	return stockroom.In(t.Turn).Sheets(e, -1, supply.Why{Cause: supply.HandedOver, Line: l.ID, Parcel: l.Parcel}, o.Mark+" handed over")
}

// packaging takes the packaging of a parcel off the shelf's count (sign -1), or puts it back (1).
func (t *Dispatch) packaging(shelf []studio.ShelfItem, p studio.Parcel, sign int, reason string) error {
	cause := supply.HandedOver
	if sign > 0 {
		cause = supply.NotHanded
	}
	used := dayplan.Uses(p.Plan)
	for i, it := range shelf {
		n := sign * used[it.Spec.ID]
		delete(used, it.Spec.ID)
		if err := stockroom.In(t.Turn).Pieces(it, n, supply.Why{Cause: cause, Parcel: p.ID}, reason); err != nil {
			return err
		}
		shelf[i].Stock += n
	}
	for key := range used {
		return fault.New(fault.Internal, "parcel %d holds %q, which is not on the shelf", p.ID, key)
	}
	return nil
}

// closeSent closes the orders of a batch of which everything is sent.
func (t *Dispatch) closeSent(b *batch) error {
	for _, id := range slices.Sorted(maps.Keys(b.orders)) {
		o := b.orders[id]
		if !book.In(t.Turn).CloseWhenSent(&o, b.Day) {
			continue
		}
		if err := t.SaveOrder(o); err != nil {
			return err
		}
	}
	return nil
}

// handOverMark journals the batch: with its order when there is one, else once for the batch and once
// told in the journal of each order.
func (t *Dispatch) handOverMark(b *batch) error {
	ids := slices.Sorted(maps.Keys(b.orders))
	if len(ids) == 1 {
		_, err := t.Journal(studio.MarkHandedOver, ids[0], b.undo, "%s handed over", b.orders[ids[0]].Mark)
		return err
	}
	for _, id := range ids {
		told, err := t.Journal(studio.MarkOther, id, nil, "%s handed over with hand-over %d", b.orders[id].Mark, b.ID)
		if err != nil {
			return err
		}
		b.undo.Told = append(b.undo.Told, told)
	}
	_, err := t.Journal(studio.MarkHandedOver, 0, b.undo, "hand-over %d: %s of %d orders", b.ID, fault.Count(b.Parcels, "parcel"), len(ids))
	return err
}

// undoHandOver takes a batch back: parcels are labelled again, numbers, drawer and shelf stand as before.
func (t *Dispatch) undoHandOver(u undoHandedOver) error {
	for _, print := range u.Prints {
		if err := t.unsend(print, u.reason()); err != nil {
			return err
		}
	}
	shelf, err := t.Shelf()
	if err != nil {
		return err
	}
	for _, id := range u.Parcels {
		p, err := t.Parcel(id)
		if err != nil {
			return err
		}
		if err := claims.In(t.Turn).Unclaimed(p.ID); err != nil {
			return err
		}
		p.State, p.HandedOver, p.HandOver = studio.Labelled, calendar.Day{}, 0
		if err := t.SaveParcel(p); err != nil {
			return err
		}
		if err := t.packaging(shelf, p, 1, fmt.Sprintf("hand-over %d taken back", u.HandOver)); err != nil {
			return err
		}
		for _, id := range p.OrderIDs() {
			if err := t.reopen(id); err != nil {
				return err
			}
		}
	}
	for _, id := range u.Told {
		if err := t.UndoMark(id); err != nil {
			return err
		}
	}
	if u.HandOver == 0 {
		return t.reopenLines(u.Prints)
	}
	return t.DropHandOver(u.HandOver)
}

func (t *Dispatch) unsend(print register.SignedPrint, reason string) error {
	o, l, err := t.Line(print.Line)
	if err != nil {
		return err
	}
	if o.State != order.Closed && o.State != order.Open || l.Dropped || !l.Sent {
		return fault.New(fault.Refused, "prints of it came back since").At("%s", o.Mark).ToMend("nothing: what came back is in the house already")
	}
	e, err := t.EditionOf(l.Edition)
	if err != nil {
		return err
	}
	if !l.Number.IsZero() {
		if err := register.In(t.Turn).Correct(e, l.Number, print.Turn, o.Mark, reason); err != nil {
			return err
		}
	}
	l.Sent = false
	if err := t.SaveLine(l); err != nil {
		return err
	}
	return stockroom.In(t.Turn).Sheets(e, 1, supply.Why{Cause: supply.NotHanded, Line: l.ID, Parcel: l.Parcel}, reason)
}

// reopen opens a closed order of which something is in the house again.
func (t *Dispatch) reopen(id int64) error {
	o, err := t.Order(id)
	if err != nil {
		return err
	}
	if o.State != order.Closed {
		return nil
	}
	o.State, o.Closed = order.Open, calendar.Day{}
	return t.SaveOrder(o)
}

// mostHandOvers bounds the list of hand-overs.
const mostHandOvers = 200

// HandOvers lists the latest hand-overs, newest first.
func HandOvers(ctx context.Context, s *studio.Studio) ([]studio.HandOver, error) {
	return studio.Got(ctx, s, read, func(t *Dispatch) ([]studio.HandOver, error) { return t.HandOvers(mostHandOvers) })
}

// HandOverDetail reads a hand-over with its parcels and their orders, each once. Faults: Missing.
func HandOverDetail(ctx context.Context, s *studio.Studio, id int64) (studio.HandOver, []studio.Parcel, []studio.OrderView, error) {
	var h studio.HandOver
	var parcels []studio.Parcel
	var orders []studio.OrderView
	err := read(ctx, s, func(t *Dispatch) (err error) {
		if h, parcels, err = t.HandOver(id); err != nil {
			return err
		}
		d, err := t.Drawer()
		if err != nil {
			return err
		}
		all, err := t.OrdersByID(planning.SharersOf(parcels))
		if err != nil {
			return err
		}
		for _, o := range all {
			v, err := t.OrderView(o, d)
			if err != nil {
				return err
			}
			orders = append(orders, v)
		}
		return nil
	})
	return h, parcels, orders, err
}
