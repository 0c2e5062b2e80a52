package table

import (
	"slices"
	"strings"
)

// Told is a row that this transaction added, cell by cell as it stands.
type Told struct {
	Table string
	Names string // of its columns: "id, day, …"
	Cells []any  // whole numbers, texts and nil
}

// At is where among its cells those of some columns stand; false when it has not all of them.
func (r Told) At(columns []string) ([]int, bool) {
	names := strings.Split(r.Names, ", ")
	at := make([]int, len(columns))
	for i, name := range columns {
		if at[i] = slices.Index(names, name); at[i] < 0 {
			return nil, false
		}
	}
	return at, true
}

// InsertTold is InsertSoon for rows that are never changed: what is written is told to whoever makes their digests, who need not read it again.
func (o *Of[T]) InsertTold(c *Conn, rows []T) error {
	return o.insertAll(c, len(rows), func(row int) []field { return o.fields(&rows[row]) }, "", func(query string, args []any) error {
		cells, err := bind(args)
		if err != nil {
			return c.fail(err)
		}
		for at := 0; at < len(cells); at += o.count {
			c.told = append(c.told, Told{o.Name, o.Names, cells[at : at+o.count]})
		}
		return c.Soon(query, cells...)
	})
}

// TakeTold are the rows that were told since it was asked last.
func (c *Conn) TakeTold() []Told {
	told := c.told
	c.told = nil
	return told
}
