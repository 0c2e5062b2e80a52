// Package stocks keeps the drawer and the shelf, what came in and went out, and the runs from print labs. A stock is the
// sum of its moves, and never below nothing.
package stocks

import (
	"cmp"
	"database/sql"
	"fmt"
	"slices"

	"solander/fault"
	"solander/ledger"
	"solander/packing"
	"solander/store/table"
	"solander/store/words"
	"solander/studio"
	"solander/supply"
)

// Runs are the runs, without their receipts.
var Runs = table.Make("runs", "run", func(r *supply.Run) table.Columns {
	return table.Columns{
		"id", &r.ID, "edition", &r.Edition, "lab", &r.Lab, "ordered", &r.Ordered, "expected", &r.Expected,
		"quantity", &r.Quantity, "unit_cost", &r.UnitCost, "note", &r.Note, "closed", &r.Closed,
	}
})

// Receipts are the parts of runs.
var Receipts = table.Make("receipts", "receipt", func(x *supply.Receipt) table.Columns {
	return table.Columns{"id", &x.ID, "run", &x.Run, "day", &x.Day, "good", &x.Good, "rejected", &x.Rejected, "note", &x.Note}
})

// Moves are what came in and went out.
var Moves = table.Make("moves", "move", func(m *supply.Move) table.Columns {
	return table.Columns{
		"id", &m.ID, "kind", &m.Kind, "item", &m.Of, "delta", &m.Delta, "reason", &m.Reason, "day", &m.Day, "at", &m.At, "who", &m.Who,
		"cause", &m.Cause, "line", &m.Line, "parcel", &m.Parcel, "run", &m.Run, "cost", &m.Cost,
		"consignment", &m.Consignment,
	}
})

// Shelf are the kinds of packaging on the shelf. How many there are is the sum of the moves, and what another program calls one
// is kept beside its description, too, so that no two have one key.
var Shelf = table.Make("shelf", "shelf item", func(s *studio.ShelfItem) table.Columns {
	key := s.Spec.ID
	return table.Columns{
		"id", &s.ID, "key", &key, "spec", table.JSON(&s.Spec), "reorder_at", &s.ReorderAt, "pack", &s.Pack,
		"retired", &s.Retired, "coming", &s.Coming, "expected", &s.Expected,
	}
})

// SupplyRows are drawer, shelf and runs within one transaction.
type SupplyRows struct {
	conn  *table.Conn
	moves *table.Heap[supply.Move]
	moved []supply.Move // in this transaction
}

// New are the stocks of a transaction.
func New(c *table.Conn) *SupplyRows { return &SupplyRows{conn: c, moves: Moves.Heap(c)} }

// Runs returns runs with their receipts, newest first.
func (t *SupplyRows) Runs(openOnly bool) ([]supply.Run, error) {
	where := ""
	if openOnly {
		where = "WHERE closed = 0 "
	}
	out, err := Runs.List(t.conn, where+"ORDER BY id DESC")
	if err != nil {
		return nil, err
	}
	return out, t.fillRuns(out)
}

func (t *SupplyRows) fillRuns(runs []supply.Run) error {
	at := make(map[int64]*supply.Run, len(runs))
	ids := make([]int64, len(runs))
	for i := range runs {
		at[runs[i].ID], ids[i] = &runs[i], runs[i].ID
	}
	receipts, err := Receipts.In(t.conn, "run", ids, "ORDER BY run, id")
	if err != nil {
		return err
	}
	for _, x := range receipts {
		r, ok := at[x.Run]
		if !ok { // the index and the row contradict each other
			return fmt.Errorf("receipt %d was found under a run that it is not of: %w", x.ID, studio.ErrDamaged)
		}
		r.Receipts = append(r.Receipts, x)
	}
	return nil
}

func (t *SupplyRows) Run(id int64) (supply.Run, error) {
	out, err := Runs.List(t.conn, "WHERE id = $1", id)
	if err == nil {
		err = t.fillRuns(out)
	}
	return table.Only(out, err, "run %d", id)
}

// AddRun adds a run. Faults: Missing when there is no such edition.
func (t *SupplyRows) AddRun(r supply.Run) (int64, error) {
	if err := t.conn.Exists("editions", "edition", r.Edition); err != nil {
		return 0, err
	}
	return Runs.Add(t.conn, r)
}

func (t *SupplyRows) CloseRun(id int64) error {
	return t.conn.Change("run", id, `UPDATE runs SET closed = 1 WHERE id = $1`, id)
}

func (t *SupplyRows) ReopenRun(id int64) error {
	return t.conn.Change("run", id, `UPDATE runs SET closed = 0 WHERE id = $1`, id)
}

// AddReceipt adds a part of a run, or with negative counts takes one back. Faults: Refused when more
// would be taken back than came in.
func (t *SupplyRows) AddReceipt(x supply.Receipt) (int64, error) {
	r, err := t.Run(x.Run)
	if err != nil {
		return 0, err
	}
	if r.Good()+x.Good < 0 || r.Rejected()+x.Rejected < 0 {
		return 0, fault.New(fault.Refused, "more would be taken back than came in").At("run %d", x.Run)
	}
	t.conn.Touch(ledger.Run, x.Run)
	return Receipts.Add(t.conn, x)
}

func (t *SupplyRows) OnHand() (map[int64]int, error) {
	out := make(map[int64]int)
	err := t.conn.Each(`SELECT item, qty FROM stocks WHERE kind = 'sheets'`, nil, func(rows *sql.Rows) error {
		var ed int64
		var n int
		err := rows.Scan(&ed, &n)
		out[ed] = n
		return err
	})
	return out, err
}

// AddMove adds a move and keeps the sum. A move without an instant gets that of the transaction.
func (t *SupplyRows) AddMove(m supply.Move) error {
	n, err := t.conn.Exec(`UPDATE stocks SET qty = qty + $3 WHERE kind = $1 AND item = $2 AND qty >= $4`, m.Kind, m.Of, m.Delta, -m.Delta)
	if err == nil && n == 0 {
		err = t.firstMove(m)
	}
	if err != nil {
		return err
	}
	if m.At.IsZero() {
		m.At = t.conn.Now()
	}
	m.ID, err = t.moves.Add(m)
	t.moved = append(t.moved, m)
	return err
}

// Moved are the moves of this transaction since it was asked last, which stand in their table once it returns.
func (t *SupplyRows) Moved() ([]supply.Move, error) {
	moved := t.moved
	t.moved = nil
	return moved, t.moves.Write()
}

// firstMove begins a stock of which nothing was there yet. Faults: Refused when there is too little of one.
func (t *SupplyRows) firstMove(m supply.Move) error {
	if err := t.stocked(m); err != nil {
		return err
	}
	have := 0
	found, err := t.conn.One(`SELECT qty FROM stocks WHERE kind = $1 AND item = $2`, []any{m.Kind, m.Of}, &have)
	switch {
	case err != nil:
		return err
	case found || m.Delta < 0:
		return fault.New(fault.Refused, "only %d are there", have).At("%s %d", m.Kind, m.Of).ToMend("count the stock and correct it first")
	}
	_, err = t.conn.Exec(`INSERT INTO stocks (kind, item, qty) VALUES ($1, $2, $3)`, m.Kind, m.Of, m.Delta)
	return err
}

// stocked checks that there is such an edition or shelf item.
func (t *SupplyRows) stocked(m supply.Move) error {
	var err error
	switch m.Kind {
	case supply.Sheets:
		err = t.conn.Exists("editions", "edition", m.Of)
	case supply.Packaging:
		err = t.conn.Exists("shelf", "shelf item", m.Of)
	default:
		err = fault.New(fault.Invalid, "%.40q is no stock", string(m.Kind))
	}
	return err
}

func (t *SupplyRows) Moves(kind supply.MoveKind, of int64, limit int) ([]supply.Move, error) {
	if limit <= 0 {
		limit = 50
	}
	if err := t.moves.Write(); err != nil {
		return nil, err
	}
	return Moves.List(t.conn, "WHERE kind = $1 AND item = $2 ORDER BY id DESC LIMIT $3", kind, of, limit)
}

func (t *SupplyRows) shelf(rest string, args ...any) ([]studio.ShelfItem, error) {
	return Shelf.Read(t.conn, "SELECT "+Shelf.Under("s")+", coalesce(k.qty, 0) FROM shelf s LEFT JOIN stocks k ON k.kind = 'packaging' AND k.item = s.id"+rest, args,
		func(s *studio.ShelfItem) any { return &s.Stock })
}

// Shelf returns all items with their stock, by kind (in packing's order) and name.
func (t *SupplyRows) Shelf() ([]studio.ShelfItem, error) {
	out, err := t.shelf("")
	kinds := packing.Kinds()
	slices.SortFunc(out, func(a, b studio.ShelfItem) int {
		return cmp.Or(cmp.Compare(slices.Index(kinds, a.Spec.Kind), slices.Index(kinds, b.Spec.Kind)),
			words.Compare(a.Spec.Name, b.Spec.Name), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

func (t *SupplyRows) ShelfItem(id int64) (studio.ShelfItem, error) {
	out, err := t.shelf(" WHERE s.id = $1", id)
	return table.Only(out, err, "shelf item %d", id)
}

// SaveShelfItem saves an item but for its stock: see AddMove.
func (t *SupplyRows) SaveShelfItem(s studio.ShelfItem) (int64, error) {
	taken := fault.New(fault.Taken, "the key %q is in use", s.Spec.ID).ToMend("choose another key").In("id")
	s.Spec.Stock = nil
	return Shelf.SaveNamed(t.conn, s, "key", s.Spec.ID, taken)
}
