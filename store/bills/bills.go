// Package bills keeps the rows of receipts, invoices and credit notes.
package bills

import (
	"encoding/json"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/invoice"
	"solander/ledger"
	"solander/order"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
)

// Bills are the papers of money; see BillRows.
var Bills = table.Make("bills", "receipt, invoice or credit note", func(b *invoice.Bill) table.Columns {
	return table.Columns{
		"id", &b.ID, "kind", &b.Kind, "number", &b.Number, "day", &b.Day, "order_id", &b.Order, "corrects", table.Ref(&b.Corrects),
		"net", &b.Net, "tax", &b.Tax, "total", &b.Total, "to_name", &b.To.Name, "to_lines", lines(&b.To.Lines),
		"reason", &b.Body.Reason, "body", body(&b.Body), "at", &b.At, "who", &b.Who,
	}
})

// body keeps what stands on a paper, but for the reason, which has a column of its own: it is words.
func body(at *invoice.Body) any {
	return table.As(func() (any, error) {
		bare := *at
		bare.Reason = ""
		return table.AsJSON(&bare)
	}, func(src any) error {
		text, _ := src.(string)
		read := invoice.Body{}
		if err := json.Unmarshal([]byte(text), &read); err != nil {
			return err
		}
		read.Reason = at.Reason
		*at = read
		return nil
	})
}

func lines(at *[]string) any {
	return table.As(func() (any, error) { return strings.Join(*at, "\n"), nil }, func(src any) error {
		*at = nil
		if text, _ := src.(string); text != "" {
			*at = strings.Split(text, "\n")
		}
		return nil
	})
}

// BillRows are the papers of money within one transaction.
type BillRows struct{ conn *table.Conn }

// New are the papers of a transaction.
func New(c *table.Conn) *BillRows { return &BillRows{c} }

// AddBill adds a paper. One without an instant gets that of the transaction. Faults: Taken when its number was given; Missing.
func (t *BillRows) AddBill(b invoice.Bill) (int64, error) {
	if b.At.IsZero() {
		b.At = t.conn.Now()
	}
	if err := t.conn.Exists("orders", "order", b.Order); err != nil {
		return 0, err
	}
	if b.Kind != invoice.Receipt {
		t.conn.Touch(ledger.Order, b.Order)
	}
	id, err := Bills.Add(t.conn, b)
	for _, c := range []engine.Cause{engine.Unique, engine.Trigger} {
		err = engine.When(err, c, invoice.TakenNumber(b.Kind, b.Number))
	}
	return id, engine.When(err, engine.Foreign, engine.Missing("the paper that this one corrects"))
}

// notes are credit notes among the papers of orders.
const notes = "AND kind = 'credit' ORDER BY order_id, id"

// AsksCredit is what CreditOf asks of at most a batch of orders.
func AsksCredit(orders []int64) []engine.Ask { return Bills.AskIn("order_id", orders, notes) }

// CreditOf is what credit notes took off orders: of those that have one.
func CreditOf(c *table.Conn, orders []int64) (map[int64]order.Credit, error) {
	found, err := Bills.In(c, "order_id", orders, notes)
	if err != nil || len(found) == 0 {
		return nil, err
	}
	var with []int64
	for _, n := range found {
		if len(with) == 0 || with[len(with)-1] != n.Order {
			with = append(with, n.Order)
		}
	}
	papers, err := Bills.In(c, "order_id", with, "ORDER BY order_id, id")
	if err != nil {
		return nil, err
	}
	of := map[int64][]invoice.Bill{}
	for _, b := range papers {
		of[b.Order] = append(of[b.Order], b)
	}
	out := make(map[int64]order.Credit, len(with))
	for _, id := range with {
		if out[id], err = invoice.CreditOf(of[id]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Bill reads a paper.
func (t *BillRows) Bill(id int64) (invoice.Bill, error) { return Bills.Get(t.conn, id) }

// BillNumbered reads a paper by its number.
func (t *BillRows) BillNumbered(k invoice.Kind, number int64) (invoice.Bill, error) {
	out, err := Bills.List(t.conn, "WHERE kind = $1 AND number = $2", k, number)
	b, err := table.Only(out, err, "%s", k.Label(number))
	if fault.Is(err, fault.Missing) {
		err = fault.New(fault.Missing, "there is no %s %s", k.Words(), k.Label(number)).In("bill").ToMend("look at the list of papers")
	}
	return b, err
}

// LastBill returns the last number of a series, and its day; 0 when there is none.
func (t *BillRows) LastBill(k invoice.Kind) (int64, calendar.Day, error) {
	out, err := Bills.List(t.conn, "WHERE kind = $1 ORDER BY number DESC LIMIT 1", k)
	if err != nil || len(out) == 0 {
		return 0, calendar.Day{}, err
	}
	return out[0].Number, out[0].Day, nil
}

// Bills returns the papers that are wanted, the newest first.
func (t *BillRows) Bills(q invoice.Query) ([]invoice.Bill, error) {
	f := words.Found{Where: []string{"id > 0"}}
	if q.Kind != "" {
		f.And("kind =", q.Kind)
	}
	if q.Order != 0 {
		f.And("order_id =", q.Order)
	}
	if q.Corrects != 0 {
		f.And("corrects =", q.Corrects)
	}
	if q.Before != 0 {
		f.And("id <", q.Before)
	}
	rest := f.Condition() + " ORDER BY id DESC"
	if q.Limit > 0 {
		rest += " LIMIT " + f.Arg(q.Limit)
	}
	return Bills.List(t.conn, rest, f.Args...)
}
