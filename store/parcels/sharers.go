package parcels

import (
	"database/sql"
	"fmt"
	"slices"

	"solander/store/engine"
	"solander/store/table"
	"solander/studio"
)

// lineOrder is a line, or the parcel that a line is in, with the line's order.
type lineOrder struct{ of, order int64 }

func scanLineOrder(rows *sql.Rows) (l lineOrder, err error) {
	err = rows.Scan(&l.of, &l.order)
	return l, err
}

// sharers notes on each parcel with lines of several orders which these are.
func (t *ParcelRows) sharers(parcels []studio.Parcel) error {
	at := map[int64]*studio.Parcel{}
	var ids []int64
	for i := range parcels {
		if p := &parcels[i]; len(p.Lines) > 1 {
			at[p.ID], ids = p, append(ids, p.ID)
		}
	}
	for part := range slices.Chunk(ids, table.Batch) {
		in, args := table.InList(part)
		found, err := table.List(t.conn, scanLineOrder, "SELECT DISTINCT parcel, order_id FROM lines WHERE parcel IN "+in+" ORDER BY parcel, order_id", args...)
		if err != nil {
			return err
		}
		for _, f := range found {
			p, ok := at[f.of]
			if !ok { // the index and the row contradict each other
				return fmt.Errorf("a line was found in parcel %d, which was not asked for: %w", f.of, studio.ErrDamaged)
			}
			p.Orders = append(p.Orders, f.order)
		}
	}
	for _, p := range at {
		if len(p.Orders) < 2 {
			p.Orders = nil
		}
	}
	return nil
}

// linesOf checks that the parcel's order is there and that its lines are lines of it, or of it and of others, and returns the
// order of each.
func (t *ParcelRows) linesOf(p studio.Parcel) (map[int64]int64, error) {
	if err := t.conn.Exists("orders", "order", p.Order); err != nil {
		return nil, err
	}
	of, err := t.ordersOf(p.Lines)
	if err != nil {
		return nil, err
	}
	own := len(p.Lines) == 0
	for _, order := range of {
		own = own || order == p.Order
	}
	for _, l := range p.Lines {
		if _, known := of[l]; !known || !own {
			return nil, t.notOf(l, p.Order)
		}
	}
	return of, nil
}

// notOf says by its mark of which order a line is not.
func (t *ParcelRows) notOf(line, order int64) error {
	var mark string
	if _, err := t.conn.One(`SELECT mark FROM orders WHERE id = $1`, []any{order}, &mark); err != nil {
		return err
	}
	return engine.Missing("line %d of order %s", line, mark)
}

// ordersOf returns the order of each line that there is.
func (t *ParcelRows) ordersOf(lines []int64) (map[int64]int64, error) {
	out := map[int64]int64{}
	for part := range slices.Chunk(lines, table.Batch) {
		in, args := table.InList(part)
		found, err := table.List(t.conn, scanLineOrder, "SELECT id, order_id FROM lines WHERE id IN "+in, args...)
		if err != nil {
			return nil, err
		}
		for _, f := range found {
			out[f.of] = f.order
		}
	}
	return out, nil
}

// stale notes that all orders with lines in a parcel are to be found anew: the one it is named after, and those of its lines.
func (t *ParcelRows) stale(named int64, of map[int64]int64) {
	t.index.StaleOrder(named)
	for _, order := range of {
		t.index.StaleOrder(order)
	}
}
