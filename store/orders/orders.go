// Package orders keeps the rows of orders with their lines and payments, of buyers and who is the same person, of bench
// marks, and of the forms that were sent. What the register says of a line is read along with it.
package orders

import (
	"fmt"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/fault"
	"solander/ledger"
	"solander/order"
	"solander/store/engine"
	"solander/store/house"
	"solander/store/table"
	"solander/store/words"
)

// Orders are the orders themselves; see OrderRows.
var Orders = table.Make("orders", "order", func(o *order.Order) table.Columns {
	var v order.Override
	if o.Override != nil {
		v = *o.Override
	}
	var c order.Choice
	if o.Choice != nil {
		c = *o.Choice
	}
	var w order.Wait
	if o.Wait != nil {
		w = *o.Wait
	}
	a := &o.ShipTo
	return table.Columns{
		"id", &o.ID, "mark", table.Once(&o.Mark), "outlet", &o.Outlet, "ref", &o.Ref, "buyer", &o.Buyer,
		"placed", &o.Placed, "promised", &o.Promised, "arrive_by", &o.ArriveBy,
		"ship_name", &a.Name, "ship_line1", &a.Line1, "ship_line2", &a.Line2, "ship_city", &a.City,
		"ship_region", &a.Region, "ship_postcode", &a.Postcode, "ship_country", &a.Country,
		"postage", &o.Postage, "tax", &o.Tax, "tax_by_outlet", &o.TaxByOutlet, "fee", &o.Fee,
		"note", &o.Note, "gift_message", &o.GiftMessage, "state", &o.State,
		"overridden", table.Maybe(&o.Override, &v), "override_reason", &v.Reason, "override_at", &v.At, "override_who", &v.Who,
		"closed_on", &o.Closed,
		"said_name", &o.Said.Name, "said_email", &o.Said.Email, "said_phone", &o.Said.Phone,
		"in_person", &o.InPerson,
		"chosen", table.Maybe(&o.Choice, &c), "choice_by", &c.ArriveBy, "choice_packaging", &c.Packaging, "choice_care", &c.Care,
		"choice_reason", &c.Reason, "choice_at", &c.At, "choice_who", &c.Who,
		"waits", table.Maybe(&o.Wait, &w), "wait", table.JSONIf(o.Wait != nil, &w),
	}
})

// Lines are the lines of orders, as far as they are their own.
var Lines = table.Make("lines", "order line", func(l *order.Line) table.Columns {
	return table.Columns{
		"id", &l.ID, "order_id", &l.Order, "edition", &l.Edition, "kind", &l.Number.Kind,
		"number", &l.Number.N, "price", &l.Price, "dropped", &l.Dropped, "signed", &l.Signed,
		"sent", &l.Sent, "signed_on", &l.SignedDay, "parcel", table.Ref(&l.Parcel),
	}
})

// Payments are the payments of orders.
var Payments = table.Make("payments", "payment", func(p *order.Payment) table.Columns {
	return table.Columns{
		"id", &p.ID, "order_id", &p.Order, "kind", &p.Kind, "amount", &p.Amount.Minor,
		"currency", &p.Amount.Currency, "day", &p.Day, "note", &p.Note, "reversed", &p.Reversed, "fee", &p.Fee, "how", &p.How,
	}
})

// OrderRows are orders, lines and payments within one transaction.
type OrderRows struct {
	conn  *table.Conn
	index *words.Index
	house *house.SettingsRows
	kept  *Kept                 // nil = none are
	known map[int64]order.Order // without payments and credit, as read or written: it is so for as long as this transaction alone writes
	open  map[int64]order.Line  // those without a number, as they were read last
}

// New are the orders of a transaction.
func New(c *table.Conn, x *words.Index, h *house.SettingsRows, k *Kept) *OrderRows {
	return &OrderRows{c, x, h, k, map[int64]order.Order{}, map[int64]order.Line{}}
}

// mostKnown bounds the orders that are remembered.
const mostKnown = 4096

// know remembers how an order stands, which nobody changes by what it points at.
func (t *OrderRows) know(o order.Order) {
	if t.conn.MayWrite() != nil {
		return
	}
	if len(t.known) >= mostKnown {
		clear(t.known)
	}
	o.Lines, o.Payments, o.Override, o.Choice, o.Credit = slices.Clone(o.Lines), nil, copied(o.Override), copied(o.Choice), order.Credit{}
	t.known[o.ID] = o
	t.conn.Known(Orders.Name, o.ID)
}

// knowLine remembers a line without a number as it was read.
func (t *OrderRows) knowLine(l order.Line) {
	if !l.Number.IsZero() || t.conn.MayWrite() != nil {
		return
	}
	if len(t.open) >= mostKnown {
		clear(t.open)
	}
	t.open[l.ID] = l
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

// AddOrder adds an order with its lines and gives it id, mark and line ids. Payments are added by
// AddPayment.
func (t *OrderRows) AddOrder(o order.Order) (order.Order, error) {
	out, err := t.AddOrders([]order.Order{o})
	if err != nil {
		return o, err
	}
	t.know(out[0])
	return out[0], nil
}

// AddOrders adds orders as AddOrder does, in few statements.
func (t *OrderRows) AddOrders(orders []order.Order) ([]order.Order, error) {
	out := slices.Clone(orders)
	var lines []order.Line
	for i := range out {
		o := &out[i]
		if err := t.identify(o); err != nil {
			return nil, err
		}
		o.Lines = slices.Clone(o.Lines)
		for j := range o.Lines {
			l := &o.Lines[j]
			l.Order = o.ID
			if err := t.conn.Exists("editions", "edition", l.Edition); err != nil {
				return nil, err
			}
			var err error
			if l.ID, err = t.conn.Next(Lines.Name); err != nil {
				return nil, err
			}
			lines = append(lines, *l)
		}
	}
	n, err := Orders.InsertAll(t.conn, out, ` ON CONFLICT (outlet, ref) WHERE ref <> '' DO NOTHING`)
	if err == nil && n != int64(len(out)) {
		err = t.whichTaken(out)
	}
	if err != nil {
		return nil, err
	}
	_, err = Lines.InsertAll(t.conn, lines, "")
	return out, engine.When(err, engine.Foreign, engine.Missing("the parcel of a line"))
}

// identify gives a new order its id and mark.
func (t *OrderRows) identify(o *order.Order) error {
	if err := t.parties(*o); err != nil {
		return err
	}
	var err error
	if o.ID, err = t.conn.Next(Orders.Name); err != nil {
		return err
	}
	t.index.StaleOrder(o.ID)
	if t.conn.Added(ledger.Order, o.ID); o.State != order.Open || slices.ContainsFunc(o.Lines, func(l order.Line) bool { return l.Sent }) {
		t.conn.Touch(ledger.Order, o.ID)
	}
	o.Mark, err = t.nextMark()
	return err
}

// whichTaken says which of new orders has a reference that another has: one that stood before, or one of themselves.
func (t *OrderRows) whichTaken(orders []order.Order) error {
	for _, o := range orders {
		if err := t.refFree(o); err != nil {
			return err
		}
	}
	return refTaken(orders[len(orders)-1])
}

func refTaken(o order.Order) *fault.Error {
	return fault.New(fault.Taken, "this outlet has an order %q already", o.Ref).ToMend("look it up, or correct the reference").In("ref")
}

// refFree asks first, for a good message; the unique index has the last word.
func (t *OrderRows) refFree(o order.Order) error {
	if was, known := t.known[o.ID]; o.Ref == "" || known && was.Outlet == o.Outlet && was.Ref == o.Ref {
		return nil
	}
	var mark string
	found, err := t.conn.One(`SELECT mark FROM orders WHERE outlet = $1 AND ref = $2 AND ref <> '' AND id <> $3`, []any{o.Outlet, o.Ref, o.ID}, &mark)
	if err == nil && found {
		return refTaken(o).At("%s", mark)
	}
	return err
}

// parties checks that outlet and buyer are there.
func (t *OrderRows) parties(o order.Order) error {
	if err := t.conn.Exists("outlets", "outlet", o.Outlet); err != nil {
		return err
	}
	return t.conn.Exists("buyers", "buyer", o.Buyer)
}

// nextMark gives the next order mark: the studio's prefix and a number from 1001 on.
func (t *OrderRows) nextMark() (string, error) {
	prefix, err := t.house.MarkPrefix()
	if err != nil {
		return "", err
	}
	n, err := t.conn.Next("marks of orders")
	return fmt.Sprintf("%s-%d", prefix, n), err
}

// SaveOrder saves everything of the order itself but its mark.
func (t *OrderRows) SaveOrder(o order.Order) error {
	if err := t.refFree(o); err != nil {
		return err
	}
	if err := t.parties(o); err != nil {
		return err
	}
	t.index.StaleOrder(o.ID)
	if o.State != order.Open || !t.conn.IsAdded(ledger.Order, o.ID) {
		t.conn.Touch(ledger.Order, o.ID)
	}
	was, known := t.known[o.ID]
	if !known {
		return engine.When(Orders.Change(t.conn, o), engine.Unique, refTaken(o))
	}
	if err := Orders.ChangeFrom(t.conn, was, o); err != nil {
		return engine.When(err, engine.Unique, refTaken(o))
	}
	o.Lines = was.Lines
	t.know(o)
	return nil
}

// AddLine adds a line to an order.
func (t *OrderRows) AddLine(l order.Line) (int64, error) {
	if err := t.conn.Exists("editions", "edition", l.Edition); err != nil {
		return 0, err
	}
	t.index.StaleOrder(l.Order)
	t.touchLine(l)
	id, err := Lines.Add(t.conn, l)
	return id, engine.When(err, engine.Foreign, lineHome(l))
}

// SaveLine saves the line. What the register says of a numbered one is read back from there.
func (t *OrderRows) SaveLine(l order.Line) error {
	if err := t.conn.Exists("editions", "edition", l.Edition); err != nil {
		return err
	}
	t.index.StaleOrder(l.Order)
	t.touchLine(l)
	return engine.When(t.changeLine(l), engine.Foreign, lineHome(l))
}

// touchLine tells the journal of a line, unless nothing can have happened to the order yet but that it was taken, or nothing to the print but that it
// was signed, which costs nobody anything. Of a number the register says what happened, perhaps before the line was read: it is always told.
func (t *OrderRows) touchLine(l order.Line) {
	if was, known := t.open[l.ID]; known && was.Signed != l.Signed && !l.Sent {
		was.Signed, was.SignedDay = l.Signed, l.SignedDay
		if was == l {
			return
		}
	}
	if l.Sent || !t.conn.IsAdded(ledger.Order, l.Order) {
		t.conn.Touch(ledger.Order, l.Order)
	}
}

// changeLine writes a line: of one that is known, what is not told elsewhere only where it differs.
func (t *OrderRows) changeLine(l order.Line) error {
	lines := t.known[l.Order].Lines
	at := slices.IndexFunc(lines, func(x order.Line) bool { return x.ID == l.ID })
	if at < 0 {
		return Lines.Change(t.conn, l)
	}
	was := lines[at]
	lines[at] = l
	return Lines.ChangeFrom(t.conn, was, l, "signed", "sent", "signed_on", "parcel") // these were read from the register, or are told by parcels
}

// lineHome is for a line that points at what is not there.
func lineHome(l order.Line) *fault.Error {
	if l.Parcel == 0 {
		return engine.Missing("order %d", l.Order)
	}
	return engine.Missing("order %d or parcel %d", l.Order, l.Parcel)
}

// AddPayment adds a payment to an order.
func (t *OrderRows) AddPayment(p order.Payment) (int64, error) {
	t.conn.Touch(ledger.Order, p.Order)
	id, err := Payments.Add(t.conn, p)
	return id, engine.When(err, engine.Foreign, engine.Missing("order %d", p.Order))
}

// AddPayments adds payments as AddPayment does, in few statements.
func (t *OrderRows) AddPayments(all []order.Payment) error {
	all = slices.Clone(all)
	for i := range all {
		var err error
		if all[i].ID, err = t.conn.Next(Payments.Name); err != nil {
			return err
		}
		t.conn.Touch(ledger.Order, all[i].Order)
	}
	_, err := Payments.InsertAll(t.conn, all, "")
	return engine.When(err, engine.Foreign, engine.Missing("the order of a payment"))
}

// ReversePayment takes a wrong payment back. Faults: Refused when it was taken back already.
func (t *OrderRows) ReversePayment(id int64) error {
	n, err := t.conn.Exec(`UPDATE payments SET reversed = 1 WHERE id = $1 AND reversed = 0`, id)
	if err != nil {
		return err
	}
	p, err := Payments.Get(t.conn, id)
	if err != nil {
		return err
	}
	if n == 1 {
		t.conn.Touch(ledger.Order, p.Order)
		return t.conn.TouchAll(ledger.BankLine, `SELECT id FROM bank_lines WHERE payment = $1`, id)
	}
	return fault.New(fault.Refused, "this payment was taken back already").At("payment %d", id)
}

// CallOff ends orders as if they had never been; see studio.OrderStore.
func (t *OrderRows) CallOff(ids []int64, on calendar.Day) error {
	for part := range slices.Chunk(ids, table.Batch) {
		in, args := table.InList(part)
		for _, query := range []string{
			`UPDATE payments SET reversed = 1 WHERE reversed = 0 AND order_id IN `,
			`UPDATE lines SET dropped = 1, signed = 0, sent = 0, signed_on = '' WHERE order_id IN `,
		} {
			if _, err := t.conn.Exec(query+in, args...); err != nil {
				return err
			}
		}
		if err := t.conn.TouchAll(ledger.BankLine, `SELECT b.id FROM bank_lines b JOIN payments p ON p.id = b.payment WHERE p.order_id IN `+in, args...); err != nil {
			return err
		}
		next := strconv.Itoa(len(args) + 1)
		n, err := t.conn.Exec(`UPDATE orders SET state = 'cancelled', ref = '', overridden = 0, override_reason = '', override_at = 0, override_who = '',
			chosen = 0, choice_by = '', choice_packaging = '', choice_care = '', choice_reason = '', choice_at = 0, choice_who = '', waits = 0, wait = '',
			closed_on = $`+next+` WHERE id IN `+in, append(args, on)...)
		if err != nil {
			return err
		}
		if n != int64(len(part)) {
			return engine.Missing("one of %d orders", len(part))
		}
		for _, id := range part {
			delete(t.known, id)
			t.index.StaleOrder(id)
			t.conn.Touch(ledger.Order, id)
		}
	}
	return nil
}
