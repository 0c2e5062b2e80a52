package orders

import (
	"fmt"
	"slices"
	"strconv"

	"solander/edition"
	"solander/order"
	"solander/store/bills"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
	"solander/studio"
)

// Order reads an order whole.
func (t *OrderRows) Order(id int64) (order.Order, error) {
	err := t.conn.Ahead(func() []engine.Ask {
		return append([]engine.Ask{Orders.Ask("WHERE id = $1", id)}, ofOrders([]int64{id})...)
	})
	if err != nil {
		return order.Order{}, err
	}
	return t.whole("order "+strconv.FormatInt(id, 10), "WHERE id = $1", id)
}

// OrdersKnown returns orders as OrdersByID does, and asks of what this transaction read or wrote of them only for lines and payments.
func (t *OrderRows) OrdersKnown(ids []int64) ([]order.Order, error) {
	if !t.knows(ids) {
		return t.OrdersByID(ids)
	}
	out := make([]order.Order, len(ids))
	for i, id := range ids {
		out[i] = t.known[id]
		out[i].Lines = nil
	}
	return out, t.fill(out)
}

func (t *OrderRows) knows(ids []int64) bool {
	return !slices.ContainsFunc(ids, func(id int64) bool { _, known := t.known[id]; return !known })
}

// AsksKnown is what OrdersKnown asks, for table.Conn.Ahead; of more than a batch nothing.
func (t *OrderRows) AsksKnown(ids []int64) []engine.Ask {
	if len(ids) == 0 || len(ids) > table.Batch || !t.knows(ids) {
		return asks(ids)
	}
	return ofOrders(ids)
}

// asks is what is asked to read orders whole by their ids; of more than a batch nothing.
func asks(ids []int64) []engine.Ask {
	if len(ids) == 0 || len(ids) > table.Batch {
		return nil
	}
	return append(Orders.AskIn("id", ids, ""), ofOrders(ids)...)
}

// ofOrders is what is asked for lines, payments and credit notes of at most a batch of orders.
func ofOrders(ids []int64) []engine.Ask {
	return slices.Concat(Payments.AskIn("order_id", ids, "ORDER BY order_id, id"), []engine.Ask{linesOf(ids)}, bills.AsksCredit(ids))
}

// linesOf asks for the lines of at most a batch of orders, with what the register says of their numbers.
func linesOf(ids []int64) engine.Ask {
	in, args := table.InList(ids)
	return engine.Ask{Query: `SELECT ` + Lines.Under("l") + `, i.signed, i.state, i.signed_on FROM lines l
			LEFT JOIN impressions i ON i.line = l.id WHERE l.order_id IN ` + in + ` ORDER BY l.order_id, l.id`, Args: args}
}

// OrdersByID returns orders whole, in the order in which their ids, each once, are asked for. Faults: Missing.
func (t *OrderRows) OrdersByID(ids []int64) ([]order.Order, error) {
	out := make([]order.Order, len(ids))
	place := make(map[int64]int, len(ids))
	for i, id := range ids {
		place[id] = i
	}
	if err := t.conn.Ahead(func() []engine.Ask { return asks(ids) }); err != nil {
		return nil, err
	}
	found, err := Orders.In(t.conn, "id", ids, "")
	if err != nil {
		return nil, err
	}
	for _, o := range found {
		out[place[o.ID]] = o
	}
	for i, o := range out {
		if o.ID == 0 {
			return nil, engine.Missing("order %d", ids[i])
		}
	}
	return out, t.fill(out)
}

// OrderByMark reads the order of a mark.
func (t *OrderRows) OrderByMark(mark string) (order.Order, error) {
	return t.whole("order "+strconv.Quote(mark), "WHERE mark = $1", mark)
}

// OrderByLine reads the order that a line is of.
func (t *OrderRows) OrderByLine(line int64) (order.Order, error) {
	return t.whole("order line "+strconv.FormatInt(line, 10), "WHERE id = (SELECT order_id FROM lines WHERE id = $1)", line)
}

// OrderByRef reads the order that an outlet knows by a reference, exactly as written.
func (t *OrderRows) OrderByRef(outlet int64, ref string) (order.Order, error) {
	return t.whole("order "+strconv.Quote(ref)+" of outlet "+strconv.FormatInt(outlet, 10), "WHERE outlet = $1 AND ref = $2 AND ref <> ''", outlet, ref)
}

func (t *OrderRows) whole(what, where string, args ...any) (order.Order, error) {
	out, err := Orders.List(t.conn, where, args...)
	if err == nil {
		err = t.fill(out)
	}
	return table.Only(out, err, "%s", what)
}

func (t *OrderRows) openOrders() ([]order.Order, error) {
	out, err := Orders.List(t.conn, "WHERE state = 'open' ORDER BY CASE promised WHEN '' THEN 1 ELSE 0 END, promised, id")
	if err != nil {
		return nil, err
	}
	return out, t.fill(out)
}

// Orders returns the orders that are wanted, the newest first; see studio.OrderQuery.
func (t *OrderRows) Orders(q studio.OrderQuery) ([]order.Order, error) {
	f, err := t.index.FindOrders(q.Text)
	if err != nil || f.Nothing {
		return nil, err
	}
	f.Where = append(f.Where, "NOT "+words.Gone)
	if q.State != "" {
		f.And("r.state =", q.State)
	}
	if q.Outlet != 0 {
		f.And("r.outlet =", q.Outlet)
	}
	if q.Buyer != 0 {
		f.And("r.buyer =", q.Buyer)
	}
	if q.Before != 0 {
		f.And(f.ID+" <", q.Before)
	}
	if q.Limit <= 0 {
		q.Limit = 50
	}
	rest := f.Condition() + " ORDER BY " + f.ID + " DESC LIMIT " + f.Arg(q.Limit)
	out, err := Orders.Read(t.conn, "SELECT "+Orders.Under("r")+" FROM "+f.From+" "+rest, f.Args)
	if err != nil {
		return nil, err
	}
	return out, t.fill(out)
}

// fill reads lines, payments and credit notes of the orders.
func (t *OrderRows) fill(orders []order.Order) error {
	at := make(map[int64]*order.Order, len(orders))
	ids := make([]int64, len(orders))
	for i := range orders {
		at[orders[i].ID], ids[i] = &orders[i], orders[i].ID
		t.know(orders[i])
	}
	for part := range slices.Chunk(ids, table.Batch) {
		ask := linesOf(part)
		lines, err := Lines.Read(t.conn, ask.Query, ask.Args, registerSigned, registerSent, registerDay)
		if err != nil {
			return err
		}
		for _, l := range lines {
			o, ok := at[l.Order]
			if !ok { // the index and the row contradict each other
				return fmt.Errorf("line %d was found under an order that it is not of: %w", l.ID, studio.ErrDamaged)
			}
			o.Lines = append(o.Lines, l)
			t.knowLine(l)
		}
	}
	payments, err := Payments.In(t.conn, "order_id", ids, "ORDER BY order_id, id")
	if err != nil {
		return err
	}
	for _, p := range payments {
		o, ok := at[p.Order]
		if !ok {
			return fmt.Errorf("payment %d was found under an order that it is not of: %w", p.ID, studio.ErrDamaged)
		}
		o.Payments = append(o.Payments, p)
	}
	credits, err := bills.CreditOf(t.conn, ids)
	if err != nil {
		return err
	}
	for id, c := range credits {
		if o, ok := at[id]; ok {
			o.Credit = c
		}
	}
	for _, id := range ids {
		if err := at[id].Addable(); err != nil {
			return fmt.Errorf("order %s: %v: %w", at[id].Mark, err, studio.ErrDamaged)
		}
	}
	return nil
}

// Of a numbered line the register says whether it is signed and sent, and on which day it was signed where the line does
// not say so itself. What was read of the line stands there already when these are read.
func registerSigned(l *order.Line) any {
	return read(l, func(src any) error { l.Signed = src == int64(1); return nil })
}

func registerSent(l *order.Line) any {
	return read(l, func(src any) error {
		if !l.Dropped { // of a print that was taken out the line says whether it had left: its number may be another's by now
			l.Sent = src == string(edition.Sent)
		}
		return nil
	})
}

func registerDay(l *order.Line) any {
	return read(l, func(src any) error {
		if text, ok := src.(string); ok && text != "" && l.SignedDay.IsZero() {
			return table.ScanDay(&l.SignedDay, text)
		}
		return nil
	})
}

func read(l *order.Line, set func(src any) error) any {
	return table.As(nil, func(src any) error {
		if l.Number.IsZero() {
			return nil
		}
		return set(src)
	})
}
