package store

import (
	"database/sql"
	"fmt"
	"slices"

	"solander/studio"
)

// lineOrder is a line, or the parcel that a line is in, with the line's order.
type lineOrder struct{ of, order int64 }

func scanLineOrder(rows *sql.Rows) (l lineOrder, err error) {
	err = rows.Scan(&l.of, &l.order)
	return l, err
}

// sharers notes on each parcel with lines of several orders which these are.
func (t *tx) sharers(parcels []studio.Parcel) error {
	at := map[int64]*studio.Parcel{}
	var ids []int64
	for i := range parcels {
		if p := &parcels[i]; len(p.Lines) > 1 {
			at[p.ID], ids = p, append(ids, p.ID)
		}
	}
	for part := range slices.Chunk(ids, batch) {
		in, args := inList(part)
		found, err := list(t, scanLineOrder, "SELECT DISTINCT parcel, order_id FROM lines WHERE parcel IN "+in+" ORDER BY parcel, order_id", args...)
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

// linesOf checks that the parcel's order is there and that its lines are lines of it, or of it and of others.
func (t *tx) linesOf(p studio.Parcel) error {
	o, err := t.Order(p.Order)
	if err != nil {
		return err
	}
	of, err := t.ordersOf(p.Lines)
	if err != nil {
		return err
	}
	own := len(p.Lines) == 0
	for _, order := range of {
		own = own || order == o.ID
	}
	for _, l := range p.Lines {
		if _, known := of[l]; !known || !own {
			return missing("line %d of order %s", l, o.Mark)
		}
	}
	return nil
}

// ordersOf returns the order of each line that there is.
func (t *tx) ordersOf(lines []int64) (map[int64]int64, error) {
	out := map[int64]int64{}
	for part := range slices.Chunk(lines, batch) {
		in, args := inList(part)
		found, err := list(t, scanLineOrder, "SELECT id, order_id FROM lines WHERE id IN "+in, args...)
		if err != nil {
			return nil, err
		}
		for _, f := range found {
			out[f.of] = f.order
		}
	}
	return out, nil
}

// staleParcel notes that all orders with lines in a parcel are to be found anew.
func (t *tx) staleParcel(p studio.Parcel) error {
	t.staleOrder(p.Order)
	of, err := t.ordersOf(p.Lines)
	if err != nil {
		return err
	}
	for _, order := range of {
		t.staleOrder(order)
	}
	return nil
}
