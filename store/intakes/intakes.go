// Package intakes keeps the files that a studio was moved in with: those that wait, byte for byte, how their columns are
// read, those that were brought in, and each row word for word with its order.
package intakes

import (
	"database/sql"
	"slices"

	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/store/engine"
	"solander/store/orders"
	"solander/store/table"
	"solander/store/words"
)

// Intakes are the files that were brought in.
var Intakes = table.Make("intakes", "intake", func(in *kept.Intake) table.Columns {
	var b kept.TakenBack
	if in.Back != nil {
		b = *in.Back
	}
	return table.Columns{
		"id", &in.ID, "name", &in.Name, "hash", &in.Hash, "mapping", &in.Mapping,
		"made", table.JSON(&in.Made), "day", &in.Day, "at", &in.At, "who", &in.Who, "back_day", &b.Day,
		"back_at", table.MaybeAt(&in.Back, &b, &b.At), "back_who", &b.Who, "back_why", &b.Reason,
	}
})

// Origins are the rows that orders were made of, word for word.
var Origins = table.Make("origins", "row", func(o *origin) table.Columns {
	return table.Columns{
		"order_id", &o.order,
		"place", &o.place,
		"intake", &o.Intake,
		"sheet", &o.Sheet,
		"sheet_row", &o.Row,
		"fill", table.As(func() (any, error) { return o.Fill.String(), nil }, func(src any) (err error) {
			text, _ := src.(string)
			o.Fill, err = intake.ParseFill(text)
			return err
		}),
		"cells", table.JSON(&o.Cells),
		"hash", &o.Hash,
		"gone", &o.Gone,
	}
})

// origin is a row with its place among those of its order.
type origin struct {
	order int64
	place int
	kept.Brought
}

// IntakeRows are files that wait or were brought in, with their rows, within one transaction.
type IntakeRows struct{ conn *table.Conn }

// New are the files of a transaction.
func New(c *table.Conn) *IntakeRows { return &IntakeRows{c} }

// AddIntake notes a file that is being brought in. One without an instant gets that of the transaction.
func (t *IntakeRows) AddIntake(in kept.Intake) (int64, error) {
	if in.At.IsZero() {
		in.At = t.conn.Now()
	}
	in.Back = nil
	return Intakes.Add(t.conn, in)
}

// Intake reads an intake.
func (t *IntakeRows) Intake(id int64) (kept.Intake, error) { return Intakes.Get(t.conn, id) }

// Intakes returns the latest intakes; limit 0 = 50.
func (t *IntakeRows) Intakes(limit int) ([]kept.Intake, error) {
	if limit <= 0 {
		limit = 50
	}
	return Intakes.List(t.conn, "ORDER BY id DESC LIMIT $1", limit)
}

// IntakeBack notes an intake and its rows as taken back.
func (t *IntakeRows) IntakeBack(id int64, b kept.TakenBack) error {
	in, err := t.Intake(id)
	if err != nil {
		return err
	}
	if in.Back != nil {
		return fault.New(fault.Refused, "this file was taken back already").At("intake %d", id)
	}
	if b.At.IsZero() {
		b.At = t.conn.Now()
	}
	in.Back = &b
	if err := Intakes.ChangeOnly(t.conn, in, "back_day", "back_at", "back_who", "back_why"); err != nil {
		return err
	}
	_, err = t.conn.Exec(`UPDATE origins SET gone = 1 WHERE intake = $1`, id)
	return err
}

// AddOrigins keeps rows of an intake with their orders.
func (t *IntakeRows) AddOrigins(in int64, rows []kept.MadeOf) error {
	for part := range slices.Chunk(rows, originBatch) {
		if err := t.addOrigins(in, part); err != nil {
			return err
		}
	}
	return nil
}

// originBatch is how many rows are kept by one statement.
const originBatch = 64

func (t *IntakeRows) addOrigins(in int64, rows []kept.MadeOf) error {
	taken := fault.New(fault.Taken, "an order was made of this row already").ToMend("look at the trial again")
	hashes, all := make([]string, len(rows)), make([]origin, len(rows))
	for i, r := range rows {
		hashes[i], all[i] = r.Hash, origin{r.Order, r.Place, kept.Brought{Intake: in, Origin: r.Origin}}
	}
	list, args := table.InList(hashes)
	var mark, hash string
	found, err := t.conn.One(`SELECT o.mark, g.hash FROM origins g JOIN orders o ON o.id = g.order_id WHERE g.hash IN `+list+` AND g.gone = 0 LIMIT 1`, args, &mark, &hash)
	if err != nil {
		return err
	}
	if found {
		return taken.At("row %d", rows[slices.Index(hashes, hash)].Row).ToMend("look at %s", mark)
	}
	_, err = Origins.InsertAll(t.conn, all, "")
	return engine.When(engine.When(err, engine.Unique, taken.At("row %d", rows[0].Row)), engine.Foreign, engine.Missing("an order of the rows, or intake %d", in))
}

// Origins returns the rows that an order was made of, in their order.
func (t *IntakeRows) Origins(orderID int64) ([]kept.Brought, error) {
	rows, err := Origins.Read(t.conn, "SELECT "+Origins.Under("g")+", i.name FROM origins g JOIN intakes i ON i.id = g.intake WHERE g.order_id = $1 ORDER BY g.place",
		[]any{orderID}, func(o *origin) any { return &o.File })
	out := make([]kept.Brought, len(rows))
	for i, r := range rows {
		out[i] = r.Brought
	}
	return out, err
}

func (t *IntakeRows) IntakeOrders(id int64) ([]int64, error) {
	return table.Values[int64](t.conn, `SELECT DISTINCT order_id FROM origins WHERE intake = $1 ORDER BY order_id`, id)
}

// BuiltOn returns orders of an intake with a journal entry that stands, or a parcel.
func (t *IntakeRows) BuiltOn(id int64, limit int) ([]kept.BuiltOn, error) {
	if err := t.conn.KeepHeaps(); err != nil {
		return nil, err
	}
	return table.List(t.conn, func(rows *sql.Rows) (b kept.BuiltOn, err error) {
		if err = rows.Scan(&b.Mark, &b.Text); err == nil {
			b.Text, err = t.conn.OpenCell("marks", "text", "", b.Text)
		}
		return b, err
	}, `SELECT o.mark, coalesce((SELECT m.text FROM marks m WHERE m.order_id = o.id AND m.undone = 0 ORDER BY m.id DESC LIMIT 1), '') FROM orders o
		WHERE o.id IN (SELECT order_id FROM origins WHERE intake = $1)
		AND (EXISTS (SELECT 1 FROM marks m WHERE m.order_id = o.id AND m.undone = 0)
			OR EXISTS (SELECT 1 FROM parcels p WHERE p.order_id = o.id)
			OR EXISTS (SELECT 1 FROM lines l WHERE l.order_id = o.id AND l.parcel IS NOT NULL))
		ORDER BY o.id LIMIT $2`, id, limit)
}

func (t *IntakeRows) OrdersOn(ed, except int64, limit int) ([]string, error) {
	return table.Values[string](t.conn, `SELECT o.mark FROM orders o WHERE o.id IN (SELECT order_id FROM lines WHERE edition = $1 AND dropped = 0)
		AND NOT EXISTS (SELECT 1 FROM origins g WHERE g.order_id = o.id AND g.intake = $2) ORDER BY o.id LIMIT $3`, ed, except, limit)
}

// Known reads at once what a trial compares with, instead of asking for every row.
func (t *IntakeRows) Known() (kept.Known, error) {
	k := kept.Known{Rows: map[string]string{}, Refs: map[kept.RefKey]string{}, Sales: map[kept.SaleKey]string{}}
	err := t.conn.Each(`SELECT g.hash, o.mark FROM origins g JOIN orders o ON o.id = g.order_id WHERE g.gone = 0`, nil, func(rows *sql.Rows) error {
		var hash, mark string
		err := rows.Scan(&hash, &mark)
		k.Rows[hash] = mark
		return err
	})
	if err != nil {
		return k, err
	}
	err = t.conn.Each(`SELECT outlet, ref, mark FROM orders r WHERE ref <> '' AND NOT `+words.Gone, nil, func(rows *sql.Rows) error {
		var key kept.RefKey
		var mark string
		err := rows.Scan(&key.Outlet, &key.Ref, &mark)
		k.Refs[key] = mark
		return err
	})
	if err != nil {
		return k, err
	}
	err = t.conn.Each(`SELECT r.buyer, r.placed, r.mark, l.edition, l.kind, l.number FROM lines l JOIN orders r ON r.id = l.order_id
		WHERE l.dropped = 0 AND l.number > 0`, nil, func(rows *sql.Rows) error {
		var key kept.SaleKey
		var mark string
		var n edition.Number
		err := rows.Scan(&key.Buyer, table.Day(&key.Placed), &mark, &key.Edition, &n.Kind, &n.N)
		key.Number = n
		k.Sales[key] = mark
		return err
	})
	if err != nil {
		return k, err
	}
	k.Buyers, err = orders.Buyers.List(t.conn, "ORDER BY id")
	return k, err
}
