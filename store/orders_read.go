package store

import (
	"database/sql"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/edition"
	"solander/order"
	"solander/studio"
)

func (t *tx) Order(id int64) (order.Order, error) {
	return t.whole("order "+strconv.FormatInt(id, 10), "WHERE id = $1", id)
}

// OrdersByID returns orders whole, in the order in which their ids, each once, are asked for. Faults: Missing.
func (t *tx) OrdersByID(ids []int64) ([]order.Order, error) {
	out := make([]order.Order, len(ids))
	place := make(map[int64]int, len(ids))
	for i, id := range ids {
		place[id] = i
	}
	for part := range slices.Chunk(ids, batch) {
		in, args := inList(part)
		found, err := list(t, scanOrder, selectFrom("orders", orderColumns, "WHERE id IN "+in), args...)
		if err != nil {
			return nil, err
		}
		for _, o := range found {
			out[place[o.ID]] = o
		}
	}
	for i, o := range out {
		if o.ID == 0 {
			return nil, missing("order %d", ids[i])
		}
	}
	return out, t.fill(out)
}

func (t *tx) OrderByMark(mark string) (order.Order, error) {
	return t.whole("order "+strconv.Quote(mark), "WHERE mark = $1", mark)
}

func (t *tx) OrderByLine(line int64) (order.Order, error) {
	return t.whole("order line "+strconv.FormatInt(line, 10), "WHERE id = (SELECT order_id FROM lines WHERE id = $1)", line)
}

func (t *tx) OrderByRef(outlet int64, ref string) (order.Order, error) {
	return t.whole("order "+strconv.Quote(ref)+" of outlet "+strconv.FormatInt(outlet, 10), "WHERE outlet = $1 AND ref = $2 AND ref <> ''", outlet, ref)
}

func (t *tx) whole(what, where string, args ...any) (order.Order, error) {
	out, err := list(t, scanOrder, selectFrom("orders", orderColumns, where), args...)
	if err == nil {
		err = t.fill(out)
	}
	return only(out, err, "%s", what)
}

// OpenOrders returns all open orders whole, the earliest promise first; those without one last.
func (t *tx) OpenOrders() ([]order.Order, error) {
	out, err := list(t, scanOrder, selectFrom("orders", orderColumns,
		"WHERE state = 'open' ORDER BY CASE promised WHEN '' THEN 1 ELSE 0 END, promised, id"))
	if err != nil {
		return nil, err
	}
	return out, t.fill(out)
}

func (t *tx) Orders(q studio.OrderQuery) ([]order.Order, error) {
	from, id := "orders r", "r.id"
	var where []string
	var args []any
	restrict := func(text string, arg any) {
		args = append(args, arg)
		where = append(where, text+" $"+strconv.Itoa(len(args)))
	}
	if terms := asked(q.Text); len(terms) > 0 {
		if err := t.searching(); err != nil {
			return nil, err
		}
		s := t.dialect.orders
		from, id, where, args = s.from, s.id, []string{s.match}, []any{t.dialect.query(terms)}
	} else if strings.TrimSpace(q.Text) != "" {
		return nil, nil // a text without a word is in no order
	}
	where = append(where, "NOT "+gone)
	if q.State != "" {
		restrict("r.state =", q.State)
	}
	if q.Outlet != 0 {
		restrict("r.outlet =", q.Outlet)
	}
	if q.Buyer != 0 {
		restrict("r.buyer =", q.Buyer)
	}
	if q.Before != 0 {
		restrict(id+" <", q.Before)
	}
	if q.Limit <= 0 {
		q.Limit = 50
	}
	args = append(args, q.Limit)
	rest := "ORDER BY " + id + " DESC LIMIT $" + strconv.Itoa(len(args))
	if len(where) > 0 {
		rest = "WHERE " + strings.Join(where, " AND ") + " " + rest
	}
	out, err := list(t, scanOrder, selectFrom(from, "r."+spread(orderColumns, "r"), rest), args...)
	if err != nil {
		return nil, err
	}
	return out, t.fill(out)
}

// fill reads lines and payments of the orders, a batch at a time.
func (t *tx) fill(orders []order.Order) error {
	at := make(map[int64]*order.Order, len(orders))
	ids := make([]int64, len(orders))
	for i := range orders {
		at[orders[i].ID], ids[i] = &orders[i], orders[i].ID
	}
	for part := range slices.Chunk(ids, batch) {
		if err := t.fillPart(at, part); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) fillPart(at map[int64]*order.Order, ids []int64) error {
	in, args := inList(ids)
	lines, err := list(t, scanLine, `SELECT l.`+spread(lineColumns, "l")+`, i.state, i.signed, i.signed_on FROM lines l
		LEFT JOIN impressions i ON i.line = l.id WHERE l.order_id IN `+in+` ORDER BY l.order_id, l.id`, args...)
	if err != nil {
		return err
	}
	for _, l := range lines {
		o, ok := at[l.Order]
		if !ok { // the index and the row contradict each other
			return fmt.Errorf("line %d was found under an order that it is not of: %w", l.ID, studio.ErrDamaged)
		}
		o.Lines = append(o.Lines, l)
	}
	payments, err := list(t, scanPayment, selectFrom("payments", paymentColumns, "WHERE order_id IN "+in+" ORDER BY order_id, id"), args...)
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
	for _, id := range ids {
		if err := at[id].Addable(); err != nil {
			return fmt.Errorf("order %s: %v: %w", at[id].Mark, err, studio.ErrDamaged)
		}
	}
	return nil
}

// scanLine reads a line. Of a numbered one the register says whether it is signed and sent.
func scanLine(rows *sql.Rows) (l order.Line, err error) {
	var state, signedOn sql.NullString
	var signed sql.NullBool
	err = rows.Scan(&l.ID, &l.Order, &l.Edition, &l.Number.Kind, &l.Number.N, &l.Price.Minor, &l.Price.Currency, &l.Dropped,
		&l.Signed, &l.Sent, day{&l.SignedDay}, reference{&l.Parcel}, &state, &signed, &signedOn)
	if err != nil || l.Number.IsZero() {
		return l, err
	}
	l.Signed, l.Sent = signed.Bool, edition.State(state.String) == edition.Sent
	if l.SignedDay.IsZero() {
		err = day{&l.SignedDay}.Scan(signedOn.String)
	}
	return l, err
}

func scanPayment(rows *sql.Rows) (p order.Payment, err error) {
	err = rows.Scan(&p.ID, &p.Order, &p.Kind, &p.Amount.Minor, &p.Amount.Currency, day{&p.Day}, &p.Note, &p.Reversed)
	return p, err
}
