package table

import "slices"

// touched is a thing of the book that this transaction wrote.
type touched struct {
	kind string
	id   int64
}

// notes are what the journal is told of a transaction.
type notes struct{ touched, added map[touched]bool }

// Added notes that this transaction added something of the book: nothing was entered for it yet.
func (c *Conn) Added(kind string, id int64) {
	if c.notes.added == nil {
		c.notes.added = map[touched]bool{}
	}
	c.notes.added[touched{kind, id}] = true
}

// IsAdded reports whether this transaction added it.
func (c *Conn) IsAdded(kind string, id int64) bool { return c.notes.added[touched{kind, id}] }

// Touch notes that something of the book was written from which the journal follows, so that it looks at it before the transaction ends.
func (c *Conn) Touch(kind string, id int64) {
	if c.notes.touched == nil {
		c.notes.touched = map[touched]bool{}
	}
	c.notes.touched[touched{kind, id}] = true
}

// TouchAll is Touch for all whose ids a query returns.
func (c *Conn) TouchAll(kind, query string, args ...any) error {
	ids, err := Values[int64](c, query, args...)
	if err != nil {
		return err
	}
	for _, id := range ids {
		c.Touch(kind, id)
	}
	return nil
}

// Touched are the ids of a kind that were touched, ascending: those that stood before, and those that this transaction added.
func (c *Conn) Touched(kind string) (stood, added []int64) {
	for k := range c.notes.touched {
		switch {
		case k.kind != kind:
		case c.notes.added[k]:
			added = append(added, k.id)
		default:
			stood = append(stood, k.id)
		}
	}
	slices.Sort(stood)
	slices.Sort(added)
	return stood, added
}

// Followed notes that the journal has entered what was touched so far.
func (c *Conn) Followed() { c.notes = notes{} }
