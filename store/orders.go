package store

import (
	"cmp"
	"database/sql"
	"fmt"
	"strings"

	"solander/fault"
	"solander/order"
)

const orderColumns = "id, mark, outlet, ref, buyer, placed, promised, arrive_by, " +
	"ship_name, ship_line1, ship_line2, ship_city, ship_region, ship_postcode, ship_country, " +
	"postage, postage_currency, tax, tax_currency, tax_by_outlet, fee, fee_currency, note, gift_message, state, " +
	"overridden, override_reason, override_at, override_who, closed_on, said_name, said_email, said_phone, in_person"

func orderValues(o order.Order) []any {
	var v order.Override
	if o.Override != nil {
		v = *o.Override
	}
	a := o.ShipTo
	return []any{
		o.ID, o.Mark, o.Outlet, o.Ref, o.Buyer, o.Placed, o.Promised, o.ArriveBy,
		a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country,
		o.Postage.Minor, o.Postage.Currency, o.Tax.Minor, o.Tax.Currency, o.TaxByOutlet, o.Fee.Minor, o.Fee.Currency, o.Note, o.GiftMessage, o.State,
		o.Override != nil, v.Reason, v.At, v.Who, o.Closed,
		o.Said.Name, o.Said.Email, o.Said.Phone, o.InPerson,
	}
}

func scanOrder(rows *sql.Rows) (o order.Order, err error) {
	var v order.Override
	var overridden bool
	a := &o.ShipTo
	err = rows.Scan(&o.ID, &o.Mark, &o.Outlet, &o.Ref, &o.Buyer, day{&o.Placed}, day{&o.Promised}, day{&o.ArriveBy},
		&a.Name, &a.Line1, &a.Line2, &a.City, &a.Region, &a.Postcode, &a.Country,
		&o.Postage.Minor, &o.Postage.Currency, &o.Tax.Minor, &o.Tax.Currency, &o.TaxByOutlet, &o.Fee.Minor, &o.Fee.Currency, &o.Note, &o.GiftMessage, &o.State,
		&overridden, &v.Reason, instant{&v.At}, &v.Who, day{&o.Closed},
		&o.Said.Name, &o.Said.Email, &o.Said.Phone, &o.InPerson)
	if overridden {
		o.Override = &v
	}
	return o, err
}

// AddOrder adds an order with its lines and gives it id, mark and line ids. Payments are added by
// AddPayment.
func (t *tx) AddOrder(o order.Order) (order.Order, error) {
	if err := t.parties(o); err != nil {
		return o, err
	}
	var err error
	if o.ID, err = t.next("orders"); err != nil {
		return o, err
	}
	if o.Mark, err = t.nextMark(); err != nil {
		return o, err
	}
	n, err := t.exec(insertInto("orders", orderColumns)+` ON CONFLICT (outlet, ref) WHERE ref <> '' DO NOTHING`, orderValues(o)...)
	if err == nil && n == 0 {
		err = cmp.Or(t.refFree(o), error(refTaken(o)))
	}
	if err != nil {
		return o, err
	}
	lines := make([]order.Line, len(o.Lines))
	for i, l := range o.Lines {
		l.Order = o.ID
		if l.ID, err = t.AddLine(l); err != nil {
			return o, err
		}
		lines[i] = l
	}
	o.Lines = lines
	t.staleOrder(o.ID)
	return o, nil
}

func refTaken(o order.Order) *fault.Error {
	return fault.New(fault.Taken, "this outlet has an order %q already", o.Ref).ToMend("look it up, or correct the reference").In("ref")
}

// refFree asks first, for a good message; the unique index has the last word.
func (t *tx) refFree(o order.Order) error {
	if o.Ref == "" {
		return nil
	}
	var mark string
	found, err := t.one(`SELECT mark FROM orders WHERE outlet = $1 AND ref = $2 AND ref <> '' AND id <> $3`, []any{o.Outlet, o.Ref, o.ID}, &mark)
	if err == nil && found {
		return refTaken(o).At("%s", mark)
	}
	return err
}

// parties checks that outlet and buyer are there.
func (t *tx) parties(o order.Order) error {
	if err := t.exists("outlets", "outlet", o.Outlet); err != nil {
		return err
	}
	return t.exists("buyers", "buyer", o.Buyer)
}

// nextMark gives the next order mark: the studio's prefix ("S" when it chose none) and a number from
// 1001 on.
func (t *tx) nextMark() (string, error) {
	if t.memory.prefix == "" {
		s, err := t.Settings()
		if err != nil {
			return "", err
		}
		t.memory.prefix = cmp.Or(s.MarkPrefix, "S")
	}
	n, err := t.next("marks of orders")
	return fmt.Sprintf("%s-%d", t.memory.prefix, n), err
}

var updateOrder = updateOf("orders", strings.Replace(orderColumns, "mark, ", "", 1))

// SaveOrder saves everything of the order itself but its mark.
func (t *tx) SaveOrder(o order.Order) error {
	if err := t.refFree(o); err != nil {
		return err
	}
	if err := t.parties(o); err != nil {
		return err
	}
	t.staleOrder(o.ID)
	values := orderValues(o) // id, mark and the rest
	values = append(values[:1:1], values[2:]...)
	return when(t.change("order", o.ID, updateOrder, values...), unique, refTaken(o))
}

const lineColumns = "id, order_id, edition, kind, number, price, price_currency, dropped, signed, sent, signed_on, parcel"

func lineValues(l order.Line) []any {
	return []any{l.ID, l.Order, l.Edition, l.Number.Kind, l.Number.N, l.Price.Minor, l.Price.Currency, l.Dropped, l.Signed, l.Sent, l.SignedDay, optional(l.Parcel)}
}

// AddLine adds a line to an order.
func (t *tx) AddLine(l order.Line) (int64, error) {
	if err := t.exists("editions", "edition", l.Edition); err != nil {
		return 0, err
	}
	var err error
	if l.ID, err = t.next("lines"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("lines", lineColumns), lineValues(l)...)
	t.staleOrder(l.Order)
	return l.ID, when(err, foreign, lineHome(l))
}

// SaveLine saves the line. What the register says of a numbered one is read back from there.
func (t *tx) SaveLine(l order.Line) error {
	if err := t.exists("editions", "edition", l.Edition); err != nil {
		return err
	}
	t.staleOrder(l.Order)
	err := t.change("order line", l.ID, updateOf("lines", lineColumns), lineValues(l)...)
	return when(err, foreign, lineHome(l))
}

// lineHome is for a line that points at what is not there.
func lineHome(l order.Line) *fault.Error {
	if l.Parcel == 0 {
		return missing("order %d", l.Order)
	}
	return missing("order %d or parcel %d", l.Order, l.Parcel)
}

const paymentColumns = "id, order_id, kind, amount, currency, day, note, reversed"

func (t *tx) AddPayment(p order.Payment) (int64, error) {
	var err error
	if p.ID, err = t.next("payments"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("payments", paymentColumns), p.ID, p.Order, p.Kind, p.Amount.Minor, p.Amount.Currency, p.Day, p.Note, p.Reversed)
	return p.ID, when(err, foreign, missing("order %d", p.Order))
}

// ReversePayment takes a wrong payment back. Faults: Refused when it was taken back already.
func (t *tx) ReversePayment(id int64) error {
	n, err := t.exec(`UPDATE payments SET reversed = 1 WHERE id = $1 AND reversed = 0`, id)
	if err != nil || n == 1 {
		return err
	}
	found, err := t.one(`SELECT id FROM payments WHERE id = $1`, []any{id}, &id)
	if err := must(found, err, "payment %d", id); err != nil {
		return err
	}
	return fault.New(fault.Refused, "this payment was taken back already").At("payment %d", id)
}
