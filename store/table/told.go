package table

import "strings"

// Told is a row that this transaction added, cell by cell as it stands.
type Told struct {
	Table string
	Names string // of its columns: "id, day, …"
	Cells []any  // whole numbers, texts and nil
}

// Cell is the cell of a column; false when the row has none of that name.
func (r Told) Cell(column string) (any, bool) {
	at := 0
	for name := range strings.SplitSeq(r.Names, ", ") {
		if name == column {
			return r.Cells[at], true
		}
		at++
	}
	return nil, false
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
