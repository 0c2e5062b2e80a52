package table

import (
	"fmt"
	"maps"
	"slices"

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
	if c.there == nil {
		c.there = map[rowKey]bool{}
	}
	c.there[key] = true
	return nil
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
	last, ok := c.counters[table]
	if !ok {
		found, err := c.One(`SELECT value FROM counters WHERE name = $1`, []any{table}, &last)
		if err == nil && !found {
			err = fmt.Errorf("the counter of %s is gone", table)
		}
		if err != nil {
			return 0, err
		}
		if c.counters == nil {
			c.counters = map[string]int64{}
		}
	}
	c.counters[table] = last + 1
	return last + 1, nil
}

// KeepCounters writes which ids were given, before the transaction ends.
func (c *Conn) KeepCounters() error {
	counters := c.counters
	c.counters = nil
	for _, name := range slices.Sorted(maps.Keys(counters)) {
		if _, err := c.Exec(`UPDATE counters SET value = $2 WHERE name = $1`, name, counters[name]); err != nil {
			return err
		}
	}
	return nil
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
