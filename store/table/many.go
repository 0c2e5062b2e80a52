package table

import (
	"iter"
	"strconv"
	"strings"
	"sync"
)

// atOnce is how many rows one statement writes.
const atOnce = 64

// Portions cuts rows into those that one statement writes. They are of few sizes: a statement that was run before is prepared already.
func Portions[V any](rows []V) iter.Seq[[]V] {
	return func(yield func([]V) bool) {
		for len(rows) > 0 {
			n := atOnce
			for n > len(rows) {
				n /= 2
			}
			if len(rows) < 8 {
				n = len(rows)
			}
			if !yield(rows[:n:n]) {
				return
			}
			rows = rows[n:]
		}
	}
}

// Statements are texts of statements by how many rows they are for; each is made once.
type Statements struct {
	of   sync.Map
	make func(rows int) string
}

// BySize are the statements that make makes.
func BySize(make func(rows int) string) *Statements { return &Statements{make: make} }

// For is the statement for so many rows.
func (s *Statements) For(rows int) string {
	if text, ok := s.of.Load(rows); ok {
		return text.(string)
	}
	text, _ := s.of.LoadOrStore(rows, s.make(rows))
	return text.(string)
}

// InsertAll adds rows as they are, but for what a clause behind each statement says, many by one statement, and returns
// how many were added.
func (o *Of[T]) InsertAll(c *Conn, rows []T, clause string) (int64, error) {
	added := int64(0)
	err := o.insertAll(c, len(rows), func(row int) []field { return o.fields(&rows[row]) }, clause, func(query string, args []any) error {
		n, err := c.Exec(query, args...)
		added += n
		return err
	})
	return added, err
}

// InsertSoon is InsertAll for whose answer nobody waits; see Conn.Soon.
func (o *Of[T]) InsertSoon(c *Conn, rows []T, clause string) error {
	return o.insertAll(c, len(rows), func(row int) []field { return o.fields(&rows[row]) }, clause, func(query string, args []any) error { return c.Soon(query, args...) })
}

// lists makes "(…), (…)" of so many rows.
func lists(rows int, of func(row int) string) string {
	var b strings.Builder
	for i := range rows {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString("(" + of(i) + ")")
	}
	return b.String()
}

// Listed makes "(VALUES (…), (…))" of so many rows with columns of these types, which are called column1, column2, ….
func Listed(rows int, types ...string) string {
	return "(VALUES " + lists(rows, func(row int) string {
		var b strings.Builder
		for i, t := range types {
			if i > 0 {
				b.WriteString(", ")
			}
			b.WriteString("CAST($" + strconv.Itoa(row*len(types)+i+1) + " AS " + t + ")")
		}
		return b.String()
	}) + ")"
}
