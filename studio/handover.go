package studio

import (
	"context"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/order"
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
	l.Add(sane("day", in.Day))
	l.Add(order.Note("note", in.Note))
	if len(in.Parcels) > 0 {
		l.Add(someOnce("parcels", len(in.Parcels), in.Parcels))
	}
	return l.Err()
}

// undoHandedOver is what taking a hand-over back needs.
type undoHandedOver struct {
	HandOver int64         `json:"hand_over"` // 0: in person, without a parcel
	Parcels  []int64       `json:"parcels"`
	Prints   []signedPrint `json:"prints"` // with the turn of their step "send"
	Told     []int64       `json:"told"`   // marks in the journals of its orders
}

// batch is a hand-over being made.
type batch struct {
	HandOver
	undo   undoHandedOver
	orders map[int64]order.Order
}

// HandOver gives labelled parcels to the operator: numbers are sent, sheets leave the drawer and
// packaging the shelf, and an order of which everything is sent is closed. One mark for the batch.
// Faults: Invalid; Missing; Refused when a parcel is not labelled, an order may not leave, or the stock
// does not hold what the parcels take.
func (s *Studio) HandOver(ctx context.Context, in HandOverIn) (HandOver, error) {
	if err := in.Validate(); err != nil {
		return HandOver{}, err
	}
	var out HandOver
	err := s.write(ctx, func(t *turn) error {
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
func (t *turn) labelledParcels(ids []int64) ([]Parcel, error) {
	var out []Parcel
	if len(ids) == 0 {
		open, err := t.OpenParcels()
		if err != nil {
			return nil, err
		}
		for _, p := range open {
			if p.State == Labelled {
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
			return nil, inField(err, "parcels")
		}
		if p.State != Labelled {
			return nil, fault.New(fault.Refused, "parcel %d is %s", id, p.State).In("parcels").ToMend("only a labelled parcel is handed over")
		}
		out = append(out, p)
	}
	return out, nil
}

func (t *turn) handOver(in HandOverIn, parcels []Parcel) (HandOver, error) {
	day, err := t.notFuture("day", in.Day)
	if err != nil {
		return HandOver{}, err
	}
	b := batch{HandOver: HandOver{Day: day, Parcels: len(parcels), Note: in.Note}, orders: map[int64]order.Order{}}
	if b.ID, err = t.AddHandOver(b.HandOver); err != nil {
		return b.HandOver, err
	}
	b.undo.HandOver = b.ID
	if err := t.mayGo(parcels); err != nil {
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

// mayGo looks at every order of the parcels before any is sent. Faults: Refused, everything that any of them lacks.
func (t *turn) mayGo(parcels []Parcel) error {
	all, err := t.ordersOf(parcels)
	if err != nil {
		return err
	}
	var l fault.List
	for _, o := range all {
		if err := stillOpen(o); err != nil {
			l.Add(err)
			continue
		}
		l.Add(o.MayLeave())
	}
	return l.Err()
}

// ordersOf reads the orders of parcels, each once, in the order of the parcels.
func (t *turn) ordersOf(parcels []Parcel) ([]order.Order, error) {
	var out []order.Order
	seen := map[int64]bool{}
	for _, p := range parcels {
		all, err := t.sharing(p)
		if err != nil {
			return nil, err
		}
		for _, o := range all {
			if !seen[o.ID] {
				seen[o.ID] = true
				out = append(out, o)
			}
		}
	}
	return out, nil
}

func (t *turn) sendParcel(b *batch, p Parcel) error {
	if b.Day.Before(p.Labelled) {
		return fault.Invalidf("day", "%s is before parcel %d was labelled, %s", b.Day, p.ID, p.Labelled).ToMend("look at the day")
	}
	all, err := t.sharing(p)
	if err != nil {
		return err
	}
	for _, o := range all {
		b.orders[o.ID] = o
	}
	for _, id := range p.Lines {
		o := holding(all, id)
		if err := t.sendLine(b, o, id); err != nil {
			return at(err, o.Mark)
		}
	}
	if err := t.packagingOut(p, marksOf(all)+" handed over"); err != nil {
		return err
	}
	p.State, p.HandedOver, p.HandOver = HandedOver, b.Day, b.ID
	b.undo.Parcels = append(b.undo.Parcels, p.ID)
	return t.SaveParcel(p)
}

// holding returns the order that a line is of; the first when it is of none.
func holding(orders []order.Order, line int64) order.Order {
	for _, o := range orders {
		if _, ok := lineOf(o, line); ok {
			return o
		}
	}
	return orders[0]
}

func (t *turn) sendLine(b *batch, o order.Order, id int64) error {
	l, ok := lineOf(o, id)
	if !ok || l.Dropped || l.Sent {
		return fault.New(fault.Internal, "line %d of %s is in a parcel, but not to be sent", id, o.Mark)
	}
	e, err := t.edition(l.Edition)
	if err != nil {
		return err
	}
	print := signedPrint{Line: id, Edition: e.ID, Number: l.Number}
	if !l.Number.IsZero() {
		entry, err := t.take(stepOf{ed: e, number: l.Number, step: edition.Send, order: o.Mark, note: b.how()})
		if err != nil {
			return err
		}
		print.Turn = entry.Turn
	}
	l.Sent = true
	if err := t.SaveLine(l); err != nil {
		return err
	}
	b.undo.Prints = append(b.undo.Prints, print)
	return t.sheets(e, -1, o.Mark+" handed over")
}

// packagingOut takes the packaging of a parcel off the shelf's count; its counter is packagingBack.
func (t *turn) packagingOut(p Parcel, reason string) error { return t.packaging(p, -1, reason) }

// packagingBack puts it back when a hand-over is taken back.
func (t *turn) packagingBack(p Parcel, reason string) error { return t.packaging(p, 1, reason) }

func (t *turn) packaging(p Parcel, sign int, reason string) error {
	used := uses(p.Plan)
	items, err := t.Shelf()
	if err != nil {
		return err
	}
	for _, it := range items {
		n := used[it.Spec.ID]
		delete(used, it.Spec.ID)
		if err := t.pieces(it, sign*n, reason); err != nil {
			return err
		}
	}
	for key := range used {
		return fault.New(fault.Internal, "parcel %d holds %q, which is not on the shelf", p.ID, key)
	}
	return nil
}

// closeSent closes the orders of a batch of which everything is sent.
func (t *turn) closeSent(b *batch) error {
	for _, id := range sorted(b.orders) {
		o, err := t.Order(id)
		if err != nil {
			return err
		}
		if !t.closeWhenSent(&o, b.Day) {
			continue
		}
		if err := t.SaveOrder(o); err != nil {
			return err
		}
	}
	return nil
}

func sorted[V any](m map[int64]V) []int64 {
	out := make([]int64, 0, len(m))
	for id := range m {
		out = append(out, id)
	}
	slices.Sort(out)
	return out
}

// handOverMark journals the batch: with its order when there is one, else once for the batch and once
// told in the journal of each order.
func (t *turn) handOverMark(b *batch) error {
	ids := sorted(b.orders)
	if len(ids) == 1 {
		_, err := t.mark(MarkHandedOver, ids[0], b.undo, "%s handed over", b.orders[ids[0]].Mark)
		return err
	}
	for _, id := range ids {
		told, err := t.mark(MarkOther, id, nil, "%s handed over with hand-over %d", b.orders[id].Mark, b.ID)
		if err != nil {
			return err
		}
		b.undo.Told = append(b.undo.Told, told)
	}
	_, err := t.mark(MarkHandedOver, 0, b.undo, "hand-over %d: %s of %d orders", b.ID, many(b.Parcels, "parcel"), len(ids))
	return err
}

// undoHandOver takes a batch back: parcels are labelled again, numbers, drawer and shelf stand as before.
func (t *turn) undoHandOver(u undoHandedOver) error {
	for _, print := range u.Prints {
		if err := t.unsend(print, u.reason()); err != nil {
			return err
		}
	}
	for _, id := range u.Parcels {
		p, err := t.Parcel(id)
		if err != nil {
			return err
		}
		p.State, p.HandedOver, p.HandOver = Labelled, calendar.Day{}, 0
		if err := t.SaveParcel(p); err != nil {
			return err
		}
		if err := t.packagingBack(p, fmt.Sprintf("hand-over %d taken back", u.HandOver)); err != nil {
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

func (t *turn) unsend(print signedPrint, reason string) error {
	o, l, err := t.line(print.Line)
	if err != nil {
		return err
	}
	if o.State != order.Closed && o.State != order.Open || l.Dropped || !l.Sent {
		return fault.New(fault.Refused, "prints of it came back since").At("%s", o.Mark).ToMend("nothing: what came back is in the house already")
	}
	e, err := t.edition(l.Edition)
	if err != nil {
		return err
	}
	if !l.Number.IsZero() {
		if err := t.correct(e, l.Number, print.Turn, o.Mark, reason); err != nil {
			return err
		}
	}
	l.Sent = false
	if err := t.SaveLine(l); err != nil {
		return err
	}
	return t.sheets(e, 1, reason)
}

// reopen opens a closed order of which something is in the house again.
func (t *turn) reopen(id int64) error {
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
func (s *Studio) HandOvers(ctx context.Context) ([]HandOver, error) {
	var out []HandOver
	err := s.read(ctx, func(t *turn) (err error) {
		out, err = t.HandOvers(mostHandOvers)
		return err
	})
	return out, err
}

// HandOverDetail reads a hand-over with its parcels and their orders, each once. Faults: Missing.
func (s *Studio) HandOverDetail(ctx context.Context, id int64) (HandOver, []Parcel, []OrderView, error) {
	var h HandOver
	var parcels []Parcel
	var orders []OrderView
	err := s.read(ctx, func(t *turn) (err error) {
		if h, parcels, err = t.HandOver(id); err != nil {
			return err
		}
		d, err := t.drawer()
		if err != nil {
			return err
		}
		all, err := t.ordersOf(parcels)
		if err != nil {
			return err
		}
		for _, o := range all {
			v, err := t.orderView(o, d)
			if err != nil {
				return err
			}
			orders = append(orders, v)
		}
		return nil
	})
	return h, parcels, orders, err
}
