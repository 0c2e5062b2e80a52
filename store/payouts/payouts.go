// Package payouts keeps what outlets paid out.
package payouts

import (
	"database/sql"

	"solander/calendar"
	"solander/charging"
	"solander/fault"
	"solander/ledger"
	"solander/store/engine"
	"solander/store/table"
)

// Payouts are the sums.
var Payouts = table.Make("payouts", "payout", func(p *charging.Payout) table.Columns {
	return table.Columns{
		"id", &p.ID, "outlet", &p.Outlet, "net", &p.Net, "day", &p.Day, "note", &p.Note, "taken_back", &p.Back, "at", &p.At, "who", &p.Who,
	}
})

// Parts are what each said of a sale.
var Parts = table.Make("payout_parts", "part of a payout", func(p *charging.PaidOut) table.Columns {
	return table.Columns{
		"payout", &p.Payout, "order_id", &p.Order, "gross", &p.Gross, "was", &p.Was, "fee", &p.Fee, "payment_fees", &p.Payment,
		"noted", table.Ref(&p.Noted), "taken_back", &p.Back,
	}
})

// PayoutRows are the payouts within one transaction.
type PayoutRows struct{ conn *table.Conn }

// New are the payouts of a transaction.
func New(c *table.Conn) *PayoutRows { return &PayoutRows{c} }

// Payouts returns them, the latest first.
func (t *PayoutRows) Payouts(skip, limit int) ([]charging.Payout, error) {
	return Payouts.List(t.conn, "ORDER BY day DESC, id DESC LIMIT $1 OFFSET $2", limit, skip)
}

// Payout returns one. Faults: Missing.
func (t *PayoutRows) Payout(id int64) (charging.Payout, error) { return Payouts.Get(t.conn, id) }

// PayoutParts returns the parts of one, by order.
func (t *PayoutRows) PayoutParts(id int64) ([]charging.PaidOut, error) {
	return Parts.List(t.conn, "WHERE payout = $1 ORDER BY order_id", id)
}

// PayoutOf returns for orders the payout that stands and that they are in.
func (t *PayoutRows) PayoutOf(orders []int64) (map[int64]int64, error) {
	out := map[int64]int64{}
	for len(orders) > 0 {
		n := min(len(orders), table.Batch)
		in, args := table.InList(orders[:n])
		err := t.conn.Each(`SELECT order_id, payout FROM payout_parts WHERE taken_back = 0 AND order_id IN `+in, args, func(rows *sql.Rows) error {
			var order, payout int64
			err := rows.Scan(&order, &payout)
			out[order] = payout
			return err
		})
		if err != nil {
			return nil, err
		}
		orders = orders[n:]
	}
	return out, nil
}

// NotPaidOut returns the latest orders of an outlet up to a day that are in no payout that stands, by day.
func (t *PayoutRows) NotPaidOut(outlet int64, until calendar.Day, limit int) ([]int64, error) {
	return table.Values[int64](t.conn, `SELECT id FROM (SELECT o.id, o.placed FROM orders o WHERE o.outlet = $1 AND o.placed <= $2 AND o.state IN ('open', 'closed')
		AND NOT EXISTS (SELECT 1 FROM payout_parts p WHERE p.order_id = o.id AND p.taken_back = 0)
		ORDER BY o.placed DESC, o.id DESC LIMIT $3) latest ORDER BY placed, id`, outlet, until, limit)
}

// AddPayout adds a payout. Faults: Taken; Missing.
func (t *PayoutRows) AddPayout(p charging.Payout, parts []charging.PaidOut) (int64, error) {
	id, err := Payouts.Add(t.conn, p)
	if err != nil {
		return 0, engine.When(err, engine.Foreign, engine.Missing("outlet %d", p.Outlet))
	}
	for i := range parts {
		parts[i].Payout = id
	}
	_, err = Parts.InsertAll(t.conn, parts, "")
	return id, engine.When(err, engine.Unique, fault.New(fault.Taken, "one of the orders was paid out meanwhile").In("orders").ToMend("look at the payouts"))
}

// TakePayoutBack notes that a payout was entered wrongly. Faults: Missing.
func (t *PayoutRows) TakePayoutBack(id int64) error {
	if _, err := t.conn.Exec(`UPDATE payout_parts SET taken_back = 1 WHERE payout = $1`, id); err != nil {
		return err
	}
	if err := t.conn.TouchAll(ledger.BankLine, `SELECT id FROM bank_lines WHERE payout = $1`, id); err != nil {
		return err
	}
	return t.conn.Change("payout", id, `UPDATE payouts SET taken_back = 1 WHERE id = $1`, id)
}
