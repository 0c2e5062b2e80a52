package journal

import (
	"database/sql"
	"errors"

	"solander/calendar"
	"solander/exchange"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/posted"
	"solander/store/engine"
	"solander/store/orders"
	"solander/store/rates"
	"solander/store/stocks"
	"solander/store/table"
	"solander/studio"
)

// ordersFrom are the orders; each that is looked at is told.
func ordersFrom(c *table.Conn, o *orders.OrderRows, stood func(order.Order)) Source {
	return Source{ledger.Order, func(ids []int64) (map[int64][]ledger.Event, error) {
		all, err := readable(o, ids)
		if err != nil {
			return nil, err
		}
		var parcels []int64
		for _, one := range all {
			for _, l := range one.Lines {
				if l.Parcel != 0 && l.Sent {
					parcels = append(parcels, l.Parcel)
				}
			}
		}
		left, err := leftOn(c, parcels)
		if err != nil {
			return nil, err
		}
		came, err := cameFrom(c, ids)
		out := make(map[int64][]ledger.Event, len(all))
		for _, one := range all {
			stood(one)
			out[one.ID] = posted.Order(posted.Book{Order: one, Left: left, Came: came})
		}
		return out, err
	}, `SELECT id FROM orders ORDER BY id`, false, "", ""}
}

// readable are the orders but for those that are damaged: nobody can read them, and the check says so.
func readable(o *orders.OrderRows, ids []int64) ([]order.Order, error) {
	all, err := o.OrdersKnown(ids)
	if !errors.Is(err, studio.ErrDamaged) {
		return all, err
	}
	if len(ids) == 1 {
		return nil, nil
	}
	all = nil
	for _, id := range ids {
		one, err := readable(o, []int64{id})
		if err != nil {
			return nil, err
		}
		all = append(all, one...)
	}
	return all, nil
}

// cameIn asks for the payments of orders that came in another currency.
func cameIn(c *table.Conn, orders []int64) []engine.Ask {
	if c.Never(rates.Foreign.Name) {
		return nil
	}
	return rates.Foreign.AskIn("order_id", orders, "")
}

// cameFrom is how payments of orders came in another currency.
func cameFrom(c *table.Conn, orders []int64) (map[int64]exchange.Came, error) {
	if c.Never(rates.Foreign.Name) {
		return nil, nil
	}
	all, err := rates.Foreign.In(c, "order_id", orders, "")
	out := make(map[int64]exchange.Came, len(all))
	for _, one := range all {
		out[one.Payment] = one
	}
	return out, err
}

// leftOn is on which days parcels left the house.
func leftOn(c *table.Conn, parcels []int64) (map[int64]calendar.Day, error) {
	out := map[int64]calendar.Day{}
	err := eachIn(c, `SELECT id, handed_over_on FROM parcels WHERE id IN `, parcels, func(rows *sql.Rows) error {
		var id int64
		var d calendar.Day
		err := rows.Scan(&id, table.Day(&d))
		out[id] = d
		return err
	})
	return out, err
}

// parcelsFrom are the parcels, with their postage once they are labelled.
func parcelsFrom(c *table.Conn) Source {
	return Source{ledger.Parcel, func(ids []int64) (map[int64][]ledger.Event, error) {
		prints, err := printsIn(c, byParcel, ids)
		if err != nil {
			return nil, err
		}
		out := map[int64][]ledger.Event{}
		err = eachIn(c, `SELECT id, paid, paid_currency, labelled_on FROM parcels WHERE state <> 'packed' AND paid <> 0 AND id IN `, ids, func(rows *sql.Rows) error {
			var id int64
			var paid money.Amount
			var day calendar.Day
			err := rows.Scan(&id, &paid.Minor, &paid.Currency, table.Day(&day))
			out[id] = posted.Postage(paid, day, prints[id])
			return err
		})
		return out, err
	}, `SELECT id FROM parcels ORDER BY id`, false, "", ""}
}

// runsFrom are the runs, with what was rejected and has no good sheet to bear it.
func runsFrom(_ *table.Conn, s *stocks.SupplyRows) Source {
	return Source{ledger.Run, func(ids []int64) (map[int64][]ledger.Event, error) {
		out := map[int64][]ledger.Event{}
		for _, id := range ids {
			r, err := s.Run(id)
			if err != nil {
				return nil, err
			}
			out[id] = posted.Rejects(r)
		}
		return out, nil
	}, `SELECT DISTINCT run FROM receipts WHERE good = 0 ORDER BY run`, false, "", ""}
}

// byParcel and byLine are columns by which prints are asked for.
const byParcel, byLine = `l.parcel`, `l.id`

// printsWith is the query of order lines by one of those; a list of ids is put behind it.
func printsWith(column string) string {
	return `SELECT ` + column + `, l.id, l.order_id, l.edition, o.outlet, o.mark FROM lines l JOIN orders o ON o.id = l.order_id WHERE ` + column + ` IN `
}

// printsOf asks for the order lines of a few ids.
func printsOf(column string, ids []int64) []engine.Ask {
	if len(ids) == 0 {
		return nil
	}
	return []engine.Ask{askIn(printsWith(column), ids)}
}

// printsIn are order lines by a column that is one of many ids, and by it.
func printsIn(c *table.Conn, column string, ids []int64) (map[int64][]posted.Print, error) {
	out := map[int64][]posted.Print{}
	err := eachIn(c, printsWith(column), ids,
		func(rows *sql.Rows) error {
			var of int64
			var p posted.Print
			err := rows.Scan(&of, &p.Line, &p.Order, &p.Edition, &p.Outlet, &p.Mark)
			out[of] = append(out[of], p)
			return err
		})
	return out, err
}

// askIn asks a query that ends with a list of ids, of at most a batch.
func askIn[V any](query string, ids []V) engine.Ask {
	in, args := table.InList(ids)
	return engine.Ask{Query: query + in, Args: args}
}

// eachIn calls f for the rows of a query that ends with a list of ids.
func eachIn[V any](c *table.Conn, query string, ids []V, f func(*sql.Rows) error) error {
	for len(ids) > 0 {
		n := min(len(ids), table.Batch)
		ask := askIn(query, ids[:n])
		if err := c.Each(ask.Query, ask.Args, f); err != nil {
			return err
		}
		ids = ids[n:]
	}
	return nil
}
