package store

import (
	"database/sql"

	"solander/fault"
	"solander/studio"
)

const markColumns = "id, order_id, kind, text, detail, day, at, who, undone"

func scanMark(rows *sql.Rows) (m studio.Mark, err error) {
	err = rows.Scan(&m.ID, reference{&m.Order}, &m.Kind, &m.Text, rawJSON{&m.Detail}, day{&m.Day}, instant{&m.At}, &m.Who, &m.Undone)
	return m, err
}

// AddMark adds a mark. One without an instant gets that of the transaction.
func (t *tx) AddMark(m studio.Mark) (int64, error) {
	if m.At.IsZero() {
		m.At = t.now
	}
	var err error
	if m.ID, err = t.next("marks"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("marks", markColumns), m.ID, optional(m.Order), m.Kind, m.Text, string(m.Detail), m.Day, m.At, m.Who, m.Undone)
	return m.ID, when(err, foreign, missing("order %d", m.Order))
}

func (t *tx) Mark(id int64) (studio.Mark, error) {
	out, err := list(t, scanMark, selectFrom("marks", markColumns, "WHERE id = $1"), id)
	return only(out, err, "mark %d", id)
}

func (t *tx) Marks(orderID int64) ([]studio.Mark, error) {
	return list(t, scanMark, selectFrom("marks", markColumns, "WHERE order_id = $1 ORDER BY id DESC"), orderID)
}

func (t *tx) RecentMarks(limit int) ([]studio.Mark, error) {
	if limit <= 0 {
		limit = 50
	}
	return list(t, scanMark, selectFrom("marks", markColumns, "ORDER BY id DESC LIMIT $1"), limit)
}

func (t *tx) MarksAfter(id int64, limit int) ([]studio.Mark, error) {
	return list(t, scanMark, selectFrom("marks", markColumns, "WHERE id > $1 ORDER BY id LIMIT $2"), id, limit)
}

// UndoMark notes a mark as undone. Faults: Refused when it was already.
func (t *tx) UndoMark(id int64) error {
	m, err := t.Mark(id)
	if err != nil {
		return err
	}
	if m.Undone {
		return fault.New(fault.Refused, "this mark was undone already").At("mark %d", id)
	}
	return t.change("mark", id, `UPDATE marks SET undone = 1 WHERE id = $1`, id)
}
