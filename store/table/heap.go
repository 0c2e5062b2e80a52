package table

// Heap gathers new rows of a table within one transaction, so that many of them are written by one statement. What another row
// points at must be in no heap, and whoever reads the table writes the heap first.
type Heap[T any] struct {
	of   *Of[T]
	conn *Conn
	rows []T
}

// Heap is for rows that a transaction adds and seldom reads. They are written before it ends at the latest.
func (o *Of[T]) Heap(c *Conn) *Heap[T] {
	h := &Heap[T]{of: o, conn: c}
	c.heaps = append(c.heaps, h.Write)
	return h
}

// Add adds a row and returns its id, which it gives.
func (h *Heap[T]) Add(row T) (int64, error) {
	id, err := h.conn.Next(h.of.Name)
	if err != nil {
		return 0, err
	}
	*idAt(h.of.fields(&row)) = id
	if h.rows = append(h.rows, row); len(h.rows) < atOnce {
		return id, nil
	}
	return id, h.Write()
}

// Write writes what was gathered.
func (h *Heap[T]) Write() error {
	rows := h.rows
	h.rows = nil
	return h.of.InsertSoon(h.conn, rows, "")
}

// KeepHeaps writes what was gathered for any table.
func (c *Conn) KeepHeaps() error {
	for _, write := range c.heaps {
		if err := write(); err != nil {
			return err
		}
	}
	return nil
}
