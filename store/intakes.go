package store

import (
	"database/sql"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/studio"
)

const intakeColumns = "id, name, hash, mapping, made, day, at, who, back_day, back_at, back_who, back_why"

func scanIntake(rows *sql.Rows) (in studio.Intake, err error) {
	var b studio.TakenBack
	err = rows.Scan(&in.ID, &in.Name, &in.Hash, &in.Mapping, inJSON{&in.Made}, day{&in.Day}, instant{&in.At}, &in.Who,
		day{&b.Day}, instant{&b.At}, &b.Who, &b.Reason)
	if !b.At.IsZero() {
		in.Back = &b
	}
	return in, err
}

// AddIntake notes a file that is being brought in. One without an instant gets that of the transaction.
func (t *tx) AddIntake(in studio.Intake) (int64, error) {
	made, err := asJSON(in.Made)
	if err != nil {
		return 0, err
	}
	if in.At.IsZero() {
		in.At = t.now
	}
	if in.ID, err = t.next("intakes"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("intakes", intakeColumns), in.ID, in.Name, in.Hash, in.Mapping, made, in.Day, in.At, in.Who, calendar.Day{}, 0, "", "")
	return in.ID, err
}

func (t *tx) Intake(id int64) (studio.Intake, error) {
	out, err := list(t, scanIntake, selectFrom("intakes", intakeColumns, "WHERE id = $1"), id)
	return only(out, err, "intake %d", id)
}

func (t *tx) Intakes(limit int) ([]studio.Intake, error) {
	if limit <= 0 {
		limit = 50
	}
	return list(t, scanIntake, selectFrom("intakes", intakeColumns, "ORDER BY id DESC LIMIT $1"), limit)
}

// IntakeBack notes an intake and its rows as taken back.
func (t *tx) IntakeBack(id int64, b studio.TakenBack) error {
	in, err := t.Intake(id)
	if err != nil {
		return err
	}
	if in.Back != nil {
		return fault.New(fault.Refused, "this file was taken back already").At("intake %d", id)
	}
	if b.At.IsZero() {
		b.At = t.now
	}
	err = t.change("intake", id, `UPDATE intakes SET back_day = $2, back_at = $3, back_who = $4, back_why = $5 WHERE id = $1`, id, b.Day, b.At, b.Who, b.Reason)
	if err != nil {
		return err
	}
	_, err = t.exec(`UPDATE origins SET gone = 1 WHERE intake = $1`, id)
	return err
}

const originColumns = "order_id, place, intake, sheet, sheet_row, fill, cells, hash, gone"

// AddOrigin keeps a row with its order; place counts the rows of an order from 0.
func (t *tx) AddOrigin(orderID int64, place int, in int64, o intake.Origin) error {
	taken := fault.New(fault.Taken, "an order was made of this row already").At("row %d", o.Row).ToMend("look at the trial again")
	var mark string
	found, err := t.one(`SELECT mark FROM origins g JOIN orders o ON o.id = g.order_id WHERE g.hash = $1 AND g.gone = 0`, []any{o.Hash}, &mark)
	if err != nil {
		return err
	}
	if found {
		return taken.ToMend("look at %s", mark)
	}
	cells, err := asJSON(o.Cells)
	if err != nil {
		return err
	}
	_, err = t.exec(insertInto("origins", originColumns), orderID, place, in, o.Sheet, o.Row, o.Fill.String(), cells, o.Hash, false)
	return when(when(err, unique, taken), foreign, missing("order %d or intake %d", orderID, in))
}

// Origins returns the rows that an order was made of, in their order.
func (t *tx) Origins(orderID int64) ([]studio.KeptRow, error) {
	return list(t, func(rows *sql.Rows) (k studio.KeptRow, err error) {
		var fill string
		err = rows.Scan(&k.Intake, &k.Sheet, &k.Row, &fill, inJSON{&k.Cells}, &k.Hash, &k.Gone, &k.File)
		if err == nil {
			k.Fill, err = intake.ParseFill(fill)
		}
		return k, err
	}, `SELECT g.intake, g.sheet, g.sheet_row, g.fill, g.cells, g.hash, g.gone, i.name FROM origins g JOIN intakes i ON i.id = g.intake
		WHERE g.order_id = $1 ORDER BY g.place`, orderID)
}

func (t *tx) IntakeOrders(id int64) ([]int64, error) {
	return list(t, func(rows *sql.Rows) (order int64, err error) {
		err = rows.Scan(&order)
		return order, err
	}, `SELECT DISTINCT order_id FROM origins WHERE intake = $1 ORDER BY order_id`, id)
}

// BuiltOn returns orders of an intake with a journal entry that stands, or a parcel.
func (t *tx) BuiltOn(id int64, limit int) ([]studio.BuiltOn, error) {
	return list(t, func(rows *sql.Rows) (b studio.BuiltOn, err error) {
		err = rows.Scan(&b.Mark, &b.Text)
		return b, err
	}, `SELECT o.mark, coalesce((SELECT m.text FROM marks m WHERE m.order_id = o.id AND m.undone = 0 ORDER BY m.id DESC LIMIT 1), '') FROM orders o
		WHERE o.id IN (SELECT order_id FROM origins WHERE intake = $1)
		AND (EXISTS (SELECT 1 FROM marks m WHERE m.order_id = o.id AND m.undone = 0)
			OR EXISTS (SELECT 1 FROM parcels p WHERE p.order_id = o.id)
			OR EXISTS (SELECT 1 FROM lines l WHERE l.order_id = o.id AND l.parcel IS NOT NULL))
		ORDER BY o.id LIMIT $2`, id, limit)
}

func (t *tx) OrdersOn(ed, except int64, limit int) ([]string, error) {
	return list(t, func(rows *sql.Rows) (mark string, err error) {
		err = rows.Scan(&mark)
		return mark, err
	}, `SELECT o.mark FROM orders o WHERE o.id IN (SELECT order_id FROM lines WHERE edition = $1 AND dropped = 0)
		AND NOT EXISTS (SELECT 1 FROM origins g WHERE g.order_id = o.id AND g.intake = $2) ORDER BY o.id LIMIT $3`, ed, except, limit)
}

// gone is true of an order r whose file was taken back; goneBuyer of a buyer r who has only such orders.
const (
	gone      = `EXISTS (SELECT 1 FROM origins g WHERE g.order_id = r.id AND g.gone = 1)`
	goneBuyer = `EXISTS (SELECT 1 FROM orders o JOIN origins g ON g.order_id = o.id WHERE o.buyer = r.id AND g.gone = 1)
		AND NOT EXISTS (SELECT 1 FROM orders o WHERE o.buyer = r.id AND NOT EXISTS (SELECT 1 FROM origins g WHERE g.order_id = o.id AND g.gone = 1))`
)

// Known reads at once what a trial compares with, instead of asking for every row.
func (t *tx) Known() (studio.Known, error) {
	k := studio.Known{Rows: map[string]string{}, Refs: map[studio.RefKey]string{}, Sales: map[studio.SaleKey]string{}}
	err := t.each(`SELECT g.hash, o.mark FROM origins g JOIN orders o ON o.id = g.order_id WHERE g.gone = 0`, nil, func(rows *sql.Rows) error {
		var hash, mark string
		err := rows.Scan(&hash, &mark)
		k.Rows[hash] = mark
		return err
	})
	if err != nil {
		return k, err
	}
	err = t.each(`SELECT outlet, ref, mark FROM orders r WHERE ref <> '' AND NOT `+gone, nil, func(rows *sql.Rows) error {
		var key studio.RefKey
		var mark string
		err := rows.Scan(&key.Outlet, &key.Ref, &mark)
		k.Refs[key] = mark
		return err
	})
	if err != nil {
		return k, err
	}
	err = t.each(`SELECT r.buyer, r.placed, r.mark, l.edition, l.kind, l.number FROM lines l JOIN orders r ON r.id = l.order_id
		WHERE l.dropped = 0 AND l.number > 0`, nil, func(rows *sql.Rows) error {
		var key studio.SaleKey
		var mark string
		var n edition.Number
		err := rows.Scan(&key.Buyer, day{&key.Placed}, &mark, &key.Edition, &n.Kind, &n.N)
		key.Number = n
		k.Sales[key] = mark
		return err
	})
	if err != nil {
		return k, err
	}
	k.Buyers, err = list(t, scanBuyer, selectFrom("buyers", buyerColumns, "ORDER BY id"))
	return k, err
}
