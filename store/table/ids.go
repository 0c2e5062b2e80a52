package table

import (
	"database/sql"
	"fmt"
	"maps"
	"slices"
	"strings"

	"solander/fault"
)

// Exists is for a row that another points at. Faults: Missing, called by what it is. Only for tables whose rows are
// never deleted.
func (c *Conn) Exists(table, what string, id int64) error {
	key := rowKey{table, id}
	if c.there[key] {
		return nil
	}
	var n int64
	found, err := c.One(`SELECT id FROM `+table+` WHERE id = $1`, []any{id}, &n)
	if err := Must(found, err, what+" %d", id); err != nil {
		return err
	}
	c.Known(table, id)
	return nil
}

// Known notes that a row is there, for Exists.
func (c *Conn) Known(table string, id int64) {
	if c.there == nil {
		c.there = map[rowKey]bool{}
	}
	c.there[rowKey{table, id}] = true
}

// Free asks whether no other row of a table has a text, such as a name, for a good message; the unique index has the last
// word. Faults: taken.
func (c *Conn) Free(table, column, text string, id int64, taken *fault.Error) error {
	var holder int64
	found, err := c.One("SELECT id FROM "+table+" WHERE "+column+" = $1", []any{text}, &holder)
	if err == nil && found && holder != id {
		return taken
	}
	return err
}

// Next gives the next id of a table. Ids are never given twice, even when a row is dropped.
func (c *Conn) Next(table string) (int64, error) {
	if err := c.MayWrite(); err != nil {
		return 0, err
	}
	if c.counters == nil {
		if err := c.readCounters(); err != nil {
			return 0, err
		}
	}
	last, ok := c.counters[table]
	if !ok {
		return 0, fmt.Errorf("the counter of %s is gone", table)
	}
	c.counters[table], c.given[table] = last+1, true
	return last + 1, nil
}

// Never reports whether no row was ever added to a table of which ids are given, as far as this transaction knows without asking.
func (c *Conn) Never(table string) bool {
	last, known := c.counters[table]
	return known && last == 0
}

func (c *Conn) readCounters() error {
	c.counters, c.given = map[string]int64{}, map[string]bool{}
	return c.Each(`SELECT name, value FROM counters`, nil, func(rows *sql.Rows) error {
		var name string
		var value int64
		err := rows.Scan(&name, &value)
		c.counters[name] = value
		return err
	})
}

// KeepCounters writes which ids were given, before the transaction ends.
func (c *Conn) KeepCounters() error {
	given := slices.Sorted(maps.Keys(c.given))
	if len(given) == 0 {
		return nil
	}
	var query strings.Builder
	query.WriteString("INSERT INTO counters (name, value) VALUES ")
	var args []any
	for i, name := range given {
		if i > 0 {
			query.WriteString(", ")
		}
		query.WriteString("(" + marks(2*i+1, 2) + ")")
		args = append(args, name, c.counters[name])
	}
	c.counters, c.given = nil, nil
	return c.Soon(query.String()+" ON CONFLICT (name) DO UPDATE SET value = excluded.value", args...)
}

// Batch is how many rows are asked for by id at once.
const Batch = 256

// InList makes "($1, $2, …)" for at most Batch ids or the like. The list is filled up to a power of two with the
// last id, so that few different statements are made.
func InList[V any](ids []V) (string, []any) {
	n := 1
	for n < len(ids) {
		n *= 2
	}
	args := make([]any, n)
	for i := range args {
		args[i] = ids[min(i, len(ids)-1)]
	}
	return "(" + marks(1, n) + ")", args
}
