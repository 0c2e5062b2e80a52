package table

import (
	"database/sql"
	"slices"
)

// reader scans row after row into the same places. To list the places of a row costs as much as to read it, so they are listed
// once; and again after a row that kept one of them for itself.
type reader[T any] struct {
	laid
	of   *Of[T]
	more []func(*T) any
	row  *T
}

// laid is the places of a row, listed.
type laid struct {
	of    *body
	conn  *Conn
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
		r.row = new(T)
		r.lay(r.of.fields(r.row))
		for _, f := range r.more {
			r.dest = append(r.dest, placeOf(f(r.row)))
		}
	}
	var none T
	*r.row = none
	err := rows.Scan(r.dest...)
	return *r.row, err
}

func (l *laid) lent() bool {
	for _, loan := range l.loans {
		if loan.given {
			return true
		}
	}
	return false
}

// lay lists the places of a new row.
func (l *laid) lay(fields []field) {
	l.dest, l.loans = l.dest[:0], l.loans[:0]
	sealed := l.of.sealed(l.conn, fields)
	for i, f := range fields {
		at := placeOf(f.at)
		if lent, ok := at.(*loan); ok {
			l.loans = append(l.loans, lent)
		}
		if slices.Contains(sealed, i) { // the key of a row stands before what may be in cipher
			at = opening{l.conn, l.of.Name, f.name, func() string {
				values, err := valuesOf(fields[:min(2, len(fields))])
				if err != nil {
					return ""
				}
				return l.of.rowKey(fields, append(values, nil))
			}, at}
		}
		l.dest = append(l.dest, at)
	}
}
