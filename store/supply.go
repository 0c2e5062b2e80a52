package store

import (
	"cmp"
	"database/sql"
	"fmt"
	"slices"

	"solander/fault"
	"solander/packing"
	"solander/studio"
	"solander/supply"
)

const runColumns = "id, edition, lab, ordered, expected, quantity, unit_cost, unit_cost_currency, note, closed"

func scanRun(rows *sql.Rows) (r supply.Run, err error) {
	err = rows.Scan(&r.ID, &r.Edition, &r.Lab, day{&r.Ordered}, day{&r.Expected}, &r.Quantity, &r.UnitCost.Minor, &r.UnitCost.Currency, &r.Note, &r.Closed)
	return r, err
}

const receiptColumns = "id, run, day, good, rejected, note"

func scanReceipt(rows *sql.Rows) (x supply.Receipt, err error) {
	err = rows.Scan(&x.ID, &x.Run, day{&x.Day}, &x.Good, &x.Rejected, &x.Note)
	return x, err
}

// Runs returns runs with their receipts, newest first.
func (t *tx) Runs(openOnly bool) ([]supply.Run, error) {
	where := ""
	if openOnly {
		where = "WHERE closed = 0 "
	}
	out, err := list(t, scanRun, selectFrom("runs", runColumns, where+"ORDER BY id DESC"))
	if err != nil {
		return nil, err
	}
	return out, t.fillRuns(out)
}

func (t *tx) fillRuns(runs []supply.Run) error {
	at := make(map[int64]*supply.Run, len(runs))
	ids := make([]int64, len(runs))
	for i := range runs {
		at[runs[i].ID], ids[i] = &runs[i], runs[i].ID
	}
	for part := range slices.Chunk(ids, batch) {
		in, args := inList(part)
		receipts, err := list(t, scanReceipt, selectFrom("receipts", receiptColumns, "WHERE run IN "+in+" ORDER BY run, id"), args...)
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
	}
	return nil
}

func (t *tx) Run(id int64) (supply.Run, error) {
	out, err := list(t, scanRun, selectFrom("runs", runColumns, "WHERE id = $1"), id)
	if err == nil {
		err = t.fillRuns(out)
	}
	return only(out, err, "run %d", id)
}

func (t *tx) AddRun(r supply.Run) (int64, error) {
	if _, err := t.Edition(r.Edition); err != nil {
		return 0, err
	}
	var err error
	if r.ID, err = t.next("runs"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("runs", runColumns), r.ID, r.Edition, r.Lab, r.Ordered, r.Expected, r.Quantity, r.UnitCost.Minor, r.UnitCost.Currency, r.Note, r.Closed)
	return r.ID, err
}

func (t *tx) CloseRun(id int64) error {
	return t.change("run", id, `UPDATE runs SET closed = 1 WHERE id = $1`, id)
}

func (t *tx) ReopenRun(id int64) error {
	return t.change("run", id, `UPDATE runs SET closed = 0 WHERE id = $1`, id)
}

// AddReceipt adds a part of a run, or with negative counts takes one back. Faults: Refused when more
// would be taken back than came in.
func (t *tx) AddReceipt(x supply.Receipt) (int64, error) {
	r, err := t.Run(x.Run)
	if err != nil {
		return 0, err
	}
	if r.Good()+x.Good < 0 || r.Rejected()+x.Rejected < 0 {
		return 0, fault.New(fault.Refused, "more would be taken back than came in").At("run %d", x.Run)
	}
	if x.ID, err = t.next("receipts"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("receipts", receiptColumns), x.ID, x.Run, x.Day, x.Good, x.Rejected, x.Note)
	return x.ID, err
}

func (t *tx) OnHand() (map[int64]int, error) {
	out := make(map[int64]int)
	err := t.each(`SELECT item, qty FROM stocks WHERE kind = 'sheets'`, nil, func(rows *sql.Rows) error {
		var ed int64
		var n int
		err := rows.Scan(&ed, &n)
		out[ed] = n
		return err
	})
	return out, err
}

const moveColumns = "id, kind, item, delta, reason, day, at, who"

// AddMove adds a move and keeps the sum. A move without an instant gets that of the transaction.
func (t *tx) AddMove(m supply.Move) error {
	if err := t.stocked(m); err != nil {
		return err
	}
	have := 0
	found, err := t.one(`SELECT qty FROM stocks WHERE kind = $1 AND item = $2`, []any{m.Kind, m.Of}, &have)
	switch {
	case err != nil:
		return err
	case have+m.Delta < 0:
		return fault.New(fault.Refused, "only %d are there", have).At("%s %d", m.Kind, m.Of).ToMend("count the stock and correct it first")
	case found:
		_, err = t.exec(`UPDATE stocks SET qty = qty + $3 WHERE kind = $1 AND item = $2`, m.Kind, m.Of, m.Delta)
	default:
		_, err = t.exec(`INSERT INTO stocks (kind, item, qty) VALUES ($1, $2, $3)`, m.Kind, m.Of, m.Delta)
	}
	if err != nil {
		return err
	}
	if m.At.IsZero() {
		m.At = t.now
	}
	if m.ID, err = t.next("moves"); err != nil {
		return err
	}
	_, err = t.exec(insertInto("moves", moveColumns), m.ID, m.Kind, m.Of, m.Delta, m.Reason, m.Day, m.At, m.Who)
	return err
}

// stocked checks that there is such an edition or shelf item.
func (t *tx) stocked(m supply.Move) error {
	var err error
	switch m.Kind {
	case supply.Sheets:
		_, err = t.Edition(m.Of)
	case supply.Packaging:
		_, err = t.ShelfItem(m.Of)
	default:
		err = fault.New(fault.Invalid, "%.40q is no stock", string(m.Kind))
	}
	return err
}

func (t *tx) Moves(kind supply.MoveKind, of int64, limit int) ([]supply.Move, error) {
	if limit <= 0 {
		limit = 50
	}
	return list(t, func(rows *sql.Rows) (m supply.Move, err error) {
		err = rows.Scan(&m.ID, &m.Kind, &m.Of, &m.Delta, &m.Reason, day{&m.Day}, instant{&m.At}, &m.Who)
		return m, err
	}, selectFrom("moves", moveColumns, "WHERE kind = $1 AND item = $2 ORDER BY id DESC LIMIT $3"), kind, of, limit)
}

const shelfColumns = "id, key, spec, reorder_at, pack, retired"

var selectShelf = selectFrom("shelf s", "s."+spread(shelfColumns, "s")+", coalesce(k.qty, 0)",
	"LEFT JOIN stocks k ON k.kind = 'packaging' AND k.item = s.id")

func scanShelf(rows *sql.Rows) (s studio.ShelfItem, err error) {
	var key string
	err = rows.Scan(&s.ID, &key, inJSON{&s.Spec}, &s.ReorderAt, &s.Pack, &s.Retired, &s.Stock)
	return s, err
}

// Shelf returns all items with their stock, by kind (in packing's order) and name.
func (t *tx) Shelf() ([]studio.ShelfItem, error) {
	out, err := list(t, scanShelf, selectShelf)
	kinds := packing.Kinds()
	slices.SortFunc(out, func(a, b studio.ShelfItem) int {
		return cmp.Or(cmp.Compare(slices.Index(kinds, a.Spec.Kind), slices.Index(kinds, b.Spec.Kind)),
			byText(a.Spec.Name, b.Spec.Name), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

func (t *tx) ShelfItem(id int64) (studio.ShelfItem, error) {
	out, err := list(t, scanShelf, selectShelf+" WHERE s.id = $1", id)
	return only(out, err, "shelf item %d", id)
}

// SaveShelfItem saves an item but for its stock: see AddMove.
func (t *tx) SaveShelfItem(s studio.ShelfItem) (int64, error) {
	taken := fault.New(fault.Taken, "the key %q is in use", s.Spec.ID).ToMend("choose another key").In("id")
	var holder int64
	found, err := t.one(`SELECT id FROM shelf WHERE key = $1`, []any{s.Spec.ID}, &holder)
	switch {
	case err != nil:
		return 0, err
	case found && holder != s.ID:
		return 0, taken
	}
	s.Spec.Stock = nil
	spec, err := asJSON(s.Spec)
	if err != nil {
		return 0, err
	}
	values := func() []any { return []any{s.ID, s.Spec.ID, spec, s.ReorderAt, s.Pack, s.Retired} }
	if s.ID != 0 {
		err = t.change("shelf item", s.ID, updateOf("shelf", shelfColumns), values()...)
		return s.ID, when(err, unique, taken)
	}
	if s.ID, err = t.next("shelf"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("shelf", shelfColumns), values()...)
	return s.ID, when(err, unique, taken)
}
