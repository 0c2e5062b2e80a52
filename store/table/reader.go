package table

import (
	"database/sql"
	"slices"
)

// reader scans row after row into the same places. To list the places of a row costs as much as to read it, so they are listed
// once; and again after a row that kept one of them for itself.
type reader[T any] struct {
	of    *Of[T]
	conn  *Conn
	more  []func(*T) any
	row   *T
	dest  []any
	loans []*loan
}

// loan is a place of which a row may keep what it points at.
type loan struct {
	as
	given bool
}

func (l *loan) place() any { return l }

func (r *reader[T]) next(rows *sql.Rows) (T, error) {
	if r.row == nil || r.lent() {
		r.lay()
	}
	var none T
	*r.row = none
	err := rows.Scan(r.dest...)
	return *r.row, err
}

func (r *reader[T]) lent() bool {
	for _, l := range r.loans {
		if l.given {
			return true
		}
	}
	return false
}

// lay lists the places of a new row.
func (r *reader[T]) lay() {
	r.row, r.dest, r.loans = new(T), r.dest[:0], r.loans[:0]
	fields := r.of.fields(r.row)
	sealed := r.of.sealed(r.conn, fields)
	for i, f := range fields {
		at := placeOf(f.at)
		if l, ok := at.(*loan); ok {
			r.loans = append(r.loans, l)
		}
		if slices.Contains(sealed, i) { // the key of a row stands before what may be in cipher
			at = opening{r.conn, r.of.Name, f.name, func() string {
				values, err := valuesOf(fields[:min(2, len(fields))])
				if err != nil {
					return ""
				}
				return r.of.rowKey(fields, append(values, nil))
			}, at}
		}
		r.dest = append(r.dest, at)
	}
	for _, f := range r.more {
		r.dest = append(r.dest, placeOf(f(r.row)))
	}
}
