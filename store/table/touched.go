package table

import "slices"

// touched is a thing of the book that this transaction wrote.
type touched struct {
	kind string
	id   int64
}

// Touch notes that something of the book was written, so that the journal looks at it before the transaction ends.
func (c *Conn) Touch(kind string, id int64) {
	if !c.touched[touched{kind, id}] {
		c.touch(kind, id, false)
	}
}

// TouchNew is Touch of what this transaction added: nothing was entered for it yet.
func (c *Conn) TouchNew(kind string, id int64) { c.touch(kind, id, true) }

func (c *Conn) touch(kind string, id int64, added bool) {
	if c.touched == nil {
		c.touched = map[touched]bool{}
	}
	c.touched[touched{kind, id}] = added
}

// Touched are the ids of a kind that were noted, ascending: those that stood before, and those that this transaction added.
func (c *Conn) Touched(kind string) (stood, added []int64) {
	for k, isNew := range c.touched {
		switch {
		case k.kind != kind:
		case isNew:
			added = append(added, k.id)
		default:
			stood = append(stood, k.id)
		}
	}
	slices.Sort(stood)
	slices.Sort(added)
	return stood, added
}
