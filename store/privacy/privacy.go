package privacy

import (
	"database/sql"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/store/engine"
	"solander/store/orders"
	"solander/store/table"
	"solander/store/words"
	"solander/upkeep"
)

// PrivacyRows is what is kept of buyers, and their erasing, within one transaction.
type PrivacyRows struct {
	conn   *table.Conn
	index  *words.Index
	forget func(orderID int64) // tells who remembers an order that it is another now
}

// New is that of a transaction; forget is told of every order that changes.
func New(c *table.Conn, x *words.Index, forget func(orderID int64)) *PrivacyRows {
	return &PrivacyRows{c, x, forget}
}

// Erasures are those that were done.
var Erasures = table.Make("erasures", "erasure", func(e *upkeep.Erasure) table.Columns {
	return table.Columns{"id", &e.ID, "buyer", &e.Buyer, "why", &e.Why, "day", &e.Day, "at", &e.At, "who", &e.Who, "cells", &e.Cells}
})

// Erasures returns the latest; limit 0 = all.
func (t *PrivacyRows) Erasures(limit int) ([]upkeep.Erasure, error) {
	if limit <= 0 {
		limit = 1 << 30
	}
	return Erasures.List(t.conn, "ORDER BY id DESC LIMIT $1", limit)
}

// Erased returns how a buyer was erased. Faults: Missing.
func (t *PrivacyRows) Erased(buyer int64) (upkeep.Erasure, error) {
	out, err := Erasures.List(t.conn, "WHERE buyer = $1", buyer)
	return table.Only(out, err, "an erasure of buyer %d", buyer)
}

// row is a row of a part: the values of all its columns.
type row struct {
	part   *part
	values []any
}

func (r row) at(name string) any {
	for i, c := range r.part.columns {
		if c.name == name {
			return r.values[i]
		}
	}
	return nil
}

func (r row) text(name string) string {
	s, _ := r.at(name).(string)
	return s
}

func (r row) key() []any {
	var out []any
	for _, k := range r.part.keys() {
		out = append(out, r.at(k))
	}
	return out
}

// each reads rows of a part by a condition, in the order of their keys, in clear.
func (t *PrivacyRows) each(p *part, where string, args []any, do func(row) error) error {
	return t.eachRaw(p, where, args, func(r row) error {
		for i, c := range p.columns {
			if cell, ok := r.values[i].(string); ok && c.seal {
				var err error
				if r.values[i], err = t.conn.OpenCell(p.table, c.name, table.KeyText(r.key()...), cell); err != nil {
					return err
				}
			}
		}
		return do(r)
	})
}

// eachRaw reads rows as they are kept. Of the other engine's own tables there are none.
func (t *PrivacyRows) eachRaw(p *part, where string, args []any, do func(row) error) error {
	var names []string
	for _, c := range p.columns {
		names = append(names, c.name)
	}
	query := "SELECT " + strings.Join(names, ", ") + " FROM " + p.table
	if where != "" {
		query += " WHERE " + where
	}
	return t.conn.Each(query+" ORDER BY "+p.key, args, func(rows *sql.Rows) error {
		r := row{p, make([]any, len(names))}
		dest := make([]any, len(names))
		for i := range dest {
			dest[i] = &r.values[i]
		}
		if err := rows.Scan(dest...); err != nil {
			return err
		}
		return do(r)
	})
}

// rowsOf are the rows of a part that are of a person.
func (t *PrivacyRows) rowsOf(p *part, person int64) (out []row, err error) {
	err = t.each(p, p.hers, []any{person}, func(r row) error {
		out = append(out, r)
		return nil
	})
	return out, err
}

// Kept returns every row that is kept of a person; see upkeep.PrivacyStore.
func (t *PrivacyRows) Kept(person int64) ([]upkeep.KeptTable, error) {
	w, err := t.who(person)
	if err != nil {
		return nil, err
	}
	var out []upkeep.KeptTable
	for i := range parts {
		p := &parts[i]
		rows, err := t.about(w, p)
		if err != nil {
			return nil, err
		}
		if len(rows) > 0 {
			out = append(out, shown(p, rows))
		}
	}
	return out, nil
}

// about are the rows of a part that are hers, and those in which she is named: of others no more is read than has words in which she may be. Of a file that waits
// the studio reads itself which rows are.
func (t *PrivacyRows) about(w *who, p *part) ([]row, error) {
	if p.table == "arrivals" || p.table == "arrival_parts" || p.hers == "" && p.worded() == "" {
		return nil, nil
	}
	var own []row
	var err error
	if p.hers != "" {
		if own, err = t.rowsOf(p, w.person); err != nil || p.worded() == "" {
			return own, err
		}
	}
	known := map[string]bool{}
	for _, r := range own {
		known[keyText(r.key())] = true
	}
	err = t.each(p, p.worded(), nil, func(r row) error {
		if known[keyText(r.key())] || !w.isIn(r) {
			return nil
		}
		own = append(own, r)
		return nil
	})
	return own, err
}

// worded is the condition of rows in which somebody typed words; "" = nobody can.
func (p *part) worded() string {
	var out []string
	for _, c := range p.columns {
		if c.free {
			out = append(out, c.name+" <> ''")
		}
	}
	return strings.Join(out, " OR ")
}

// shown are rows as they are given out: whole, but for secrets.
func shown(p *part, rows []row) upkeep.KeptTable {
	out := upkeep.KeptTable{Name: p.table, What: p.what}
	for _, c := range p.columns {
		if c.class != upkeep.KeptSecret {
			out.Columns = append(out.Columns, upkeep.KeptColumn{Name: c.name, Class: c.class, Stays: c.stays})
		}
	}
	for _, r := range rows {
		var values []any
		for i, c := range p.columns {
			if c.class != upkeep.KeptSecret {
				values = append(values, r.values[i])
			}
		}
		out.Rows = append(out.Rows, values)
	}
	return out
}

// Ended returns buyers for whom nothing was done on a day or later; see upkeep.PrivacyStore.
func (t *PrivacyRows) Ended(before calendar.Day, limit int) ([]upkeep.Ended, error) {
	type dealt struct {
		upkeep.Ended
		open int64
	}
	found, err := table.List(t.conn, func(rows *sql.Rows) (d dealt, err error) {
		var days [4]calendar.Day
		err = rows.Scan(&d.Buyer, &d.open, table.Day(&days[0]), table.Day(&days[1]), table.Day(&days[2]), table.Day(&days[3]))
		for _, day := range days {
			if day.After(d.Last) {
				d.Last = day
			}
		}
		d.Money = !days[2].IsZero() || !days[3].IsZero()
		return d, err
	}, `SELECT o.buyer, sum(CASE o.state WHEN 'open' THEN 1 ELSE 0 END), max(o.placed), max(o.closed_on),
		max(coalesce((SELECT max(p.day) FROM payments p WHERE p.order_id = o.id AND p.reversed = 0), '')),
		max(coalesce((SELECT max(c.handed_over_on) FROM parcels c WHERE c.order_id = o.id), ''))
		FROM orders o JOIN buyers b ON b.id = o.buyer WHERE b.same_as IS NULL AND NOT EXISTS (SELECT 1 FROM erasures e WHERE e.buyer = o.buyer)
		GROUP BY o.buyer ORDER BY o.buyer`)
	if err != nil {
		return nil, err
	}
	var out []upkeep.Ended
	for _, d := range found {
		if d.open > 0 || !d.Last.Before(before) || len(out) >= limit {
			continue
		}
		if d.Orders, err = table.Values[int64](t.conn, `SELECT id FROM orders WHERE buyer = $1 ORDER BY id`, d.Buyer); err != nil {
			return nil, err
		}
		out = append(out, d.Ended)
	}
	return out, nil
}

// OrderBegan is the instant of the first journal entry of an order.
func (t *PrivacyRows) OrderBegan(id int64) (at time.Time, err error) {
	_, err = t.conn.One(`SELECT at FROM marks WHERE order_id = $1 ORDER BY id LIMIT 1`, []any{id}, table.Instant(&at))
	return at, err
}

// standing reads a buyer who stands for herself. Faults: Missing; Refused.
func (t *PrivacyRows) standing(id int64) (order.Buyer, error) {
	b, err := orders.Buyers.Get(t.conn, id)
	if err == nil && b.SameAs != 0 {
		err = fault.New(fault.Refused, "this buyer was taken as buyer %d", b.SameAs).At("buyer %d", id).ToMend("look at that one")
	}
	return b, err
}

var errErased = func(id int64) error {
	return fault.New(fault.Refused, "this buyer is erased already").At("buyer %d", id)
}

func foreign(err error, id int64) error {
	return engine.When(err, engine.Foreign, engine.Missing("buyer %d", id))
}
