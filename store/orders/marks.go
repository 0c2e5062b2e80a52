package orders

import (
	"solander/fault"
	"solander/store/table"
	"solander/studio"
)

// Marks are the bench marks; see MarkRows.
var Marks = table.Make("marks", "mark", func(m *studio.Mark) table.Columns {
	return table.Columns{
		"id", &m.ID, "order_id", table.Ref(&m.Order), "kind", &m.Kind, "text", &m.Text,
		"detail", table.Raw(&m.Detail), "day", &m.Day, "at", &m.At, "who", &m.Who, "undone", &m.Undone,
	}
})

// MarkRows are the bench marks, and the forms that were sent, within one transaction.
type MarkRows struct {
	conn *table.Conn
	made *table.Heap[studio.Mark]
}

// Bench are the bench marks of a transaction.
func Bench(c *table.Conn) *MarkRows { return &MarkRows{c, Marks.Heap(c)} }

// AddMark adds a mark. One without an instant gets that of the transaction. Faults: Missing when there is no such order.
func (t *MarkRows) AddMark(m studio.Mark) (int64, error) {
	if m.At.IsZero() {
		m.At = t.conn.Now()
	}
	if m.Order != 0 {
		if err := t.conn.Exists("orders", "order", m.Order); err != nil {
			return 0, err
		}
	}
	return t.made.Add(m)
}

// list reads marks, with those of this transaction.
func (t *MarkRows) list(rest string, args ...any) ([]studio.Mark, error) {
	if err := t.made.Write(); err != nil {
		return nil, err
	}
	return Marks.List(t.conn, rest, args...)
}

// Mark reads a mark.
func (t *MarkRows) Mark(id int64) (studio.Mark, error) {
	out, err := t.list("WHERE id = $1", id)
	return table.Only(out, err, "mark %d", id)
}

// Marks returns the marks of an order, the newest first.
func (t *MarkRows) Marks(orderID int64) ([]studio.Mark, error) {
	return t.list("WHERE order_id = $1 ORDER BY id DESC", orderID)
}

// RecentMarks returns the newest marks of all; limit 0 = 50.
func (t *MarkRows) RecentMarks(limit int) ([]studio.Mark, error) {
	if limit <= 0 {
		limit = 50
	}
	return t.list("ORDER BY id DESC LIMIT $1", limit)
}

// MarksAfter returns marks after one, the oldest first.
func (t *MarkRows) MarksAfter(id int64, limit int) ([]studio.Mark, error) {
	return t.list("WHERE id > $1 ORDER BY id LIMIT $2", id, limit)
}

// UndoMark notes a mark as undone. Faults: Refused when it was already.
func (t *MarkRows) UndoMark(id int64) error {
	m, err := t.Mark(id)
	if err != nil {
		return err
	}
	if m.Undone {
		return fault.New(fault.Refused, "this mark was undone already").At("mark %d", id)
	}
	return t.conn.Change("mark", id, `UPDATE marks SET undone = 1 WHERE id = $1`, id)
}
