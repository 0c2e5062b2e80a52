package table

import (
	"database/sql"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// Columns are the columns of a row: in turn the name of one, and a pointer to where its value stands. An amount of money
// fills two columns, the second of which has "_currency" behind its name. Days, instants, amounts, numbers and texts are
// kept by their type; for what is kept otherwise there are Ref, JSON, Raw, Once, Maybe and As.
type Columns []any

// Of is a table whose rows are values of a type: one list of its columns, by which rows are added, changed, read
// and copied.
type Of[T any] struct {
	body
	columns func(*T) Columns
}

// Make makes a table of the list of its columns. The first of a table whose rows have an id is "id".
func Make[T any](name, what string, columns func(*T) Columns) *Of[T] {
	o := &Of[T]{columns: columns}
	o.make(name, what, o.fields(new(T)))
	return o
}

// field is one column of a row.
type field struct {
	name string
	at   any
}

// fields are the columns of a row, one by one.
func (o *Of[T]) fields(row *T) []field { return fieldsOf(o.columns(row)) }

// fieldsOf takes a list of columns apart. One that is not of names and places panics: it is looked at when the program starts.
func fieldsOf(columns Columns) []field {
	out := make([]field, 0, len(columns)/2+4)
	for i := 0; i < len(columns); i += 2 {
		name, at := columns[i].(string), columns[i+1]
		if m, ok := at.(*money.Amount); ok {
			out = append(out, field{name, &m.Minor}, field{name + "_currency", &m.Currency})
			continue
		}
		out = append(out, field{name, at})
	}
	return out
}

func namesOf(fields []field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.name
	}
	return out
}

// changing leaves out what is written once.
func changing(fields []field) []field {
	return slices.DeleteFunc(fields, func(f field) bool { _, never := f.at.(once); return never })
}

// marks makes "$1, $2, …" for n arguments, the first of which is $from.
func marks(from, n int) string {
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString("$" + strconv.Itoa(from+i))
	}
	return b.String()
}

// updateOf makes "UPDATE table SET column = $2, … WHERE id = $1" from columns, the first of which is id.
func updateOf(table string, columns []string) string {
	var set []string
	for i, c := range columns[1:] {
		set = append(set, c+" = $"+strconv.Itoa(i+2))
	}
	return "UPDATE " + table + " SET " + strings.Join(set, ", ") + " WHERE id = $1"
}

func valuesOf(fields []field) ([]any, error) {
	out := make([]any, len(fields))
	for i, f := range fields {
		var err error
		if out[i], err = valueAt(f.at); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Insert adds a row as it is, but for what a clause behind the statement says, and returns how many were added.
func (o *Of[T]) Insert(c *Conn, row T, clause string) (int64, error) {
	return o.insert(c, o.fields(&row), clause)
}

// Add adds a row and returns its id, which it gives.
func (o *Of[T]) Add(c *Conn, row T) (int64, error) { return o.add(c, o.fields(&row)) }

// Save changes the row of that id, or adds one when its id is 0, and returns the id. Faults: Missing.
func (o *Of[T]) Save(c *Conn, row T) (int64, error) { return o.save(c, o.fields(&row)) }

// SaveNamed is Save for a table in which a column, such as the name, tells the rows apart. Faults: taken; Missing.
func (o *Of[T]) SaveNamed(c *Conn, row T, column, name string, taken *fault.Error) (int64, error) {
	return o.saveNamed(c, o.fields(&row), column, name, taken)
}

// Change changes the row of that id. Faults: Missing.
func (o *Of[T]) Change(c *Conn, row T) error { return o.change(c, o.fields(&row)) }

// ChangeFrom is Change of a row that stands as before: only columns that differ, and those that are to be written always, are written,
// so that the indexes of others rest. Faults: Missing.
func (o *Of[T]) ChangeFrom(c *Conn, before, row T, always ...string) error {
	return o.changeFrom(c, o.fields(&before), o.fields(&row), always)
}

// ChangeOnly changes the columns that are named of the row of that id. Faults: Missing.
func (o *Of[T]) ChangeOnly(c *Conn, row T, names ...string) error {
	return o.changeOnly(c, o.fields(&row), names)
}

// List reads the rows that the rest of a query chooses: "WHERE … ORDER BY …".
func (o *Of[T]) List(c *Conn, rest string, args ...any) ([]T, error) {
	a := o.Ask(rest, args...)
	return o.Read(c, a.Query, a.Args)
}

// Get reads the row of an id. Faults: Missing.
func (o *Of[T]) Get(c *Conn, id int64) (T, error) {
	out, err := o.List(c, "WHERE id = $1", id)
	return Only(out, err, o.what+" %d", id)
}

// In reads the rows of which a column is one of many ids, a batch of ids at a time; rest orders a batch.
func (o *Of[T]) In(c *Conn, column string, ids []int64, rest string) ([]T, error) {
	var out []T
	for _, a := range o.AskIn(column, ids, rest) {
		found, err := o.Read(c, a.Query, a.Args)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// Read reads rows by a whole query, which answers with the columns of the table and then, in more, others.
func (o *Of[T]) Read(c *Conn, query string, args []any, more ...func(*T) any) ([]T, error) {
	if err := o.asked(c); err != nil {
		return nil, err
	}
	r := reader[T]{of: o, laid: laid{of: &o.body, conn: c}, more: more}
	return List(c, r.next, query, args...)
}

// Only returns the one row that was asked for. Faults: Missing.
func Only[T any](rows []T, err error, what string, args ...any) (T, error) {
	var none T
	if err := Must(len(rows) > 0, err, what, args...); err != nil {
		return none, err
	}
	return rows[0], nil
}

// Values reads one column.
func Values[T any](c *Conn, query string, args ...any) ([]T, error) {
	return List(c, func(rows *sql.Rows) (v T, err error) {
		err = rows.Scan(&v)
		return v, err
	}, query, args...)
}

// kept is a place with a way of its own to be kept.
type kept interface {
	value() (any, error)
	place() any
}

// once is a place that is written when its row is added, and never changed.
type once struct{ at any }

func (o once) value() (any, error) { return valueAt(o.at) }
func (o once) place() any          { return placeOf(o.at) }

// Once is for a column that never changes.
func Once(at any) any { return once{at} }

func (r reference) value() (any, error) { return Optional(*r.to), nil }
func (r reference) place() any          { return r }

// Ref is for an id that points at another row; 0 is none.
func Ref(to *int64) any { return reference{to} }

func (j jsonText) value() (any, error) {
	if j.none {
		return "", nil
	}
	return AsJSON(j.to)
}

func (j jsonText) place() any { return j }

// JSON is for what is kept as a text in JSON; to points at it.
func JSON(to any) any { return jsonText{to: to} }

// JSONIf is for what is kept as no text at all when it is not there.
func JSONIf(there bool, to any) any { return jsonText{to: to, none: !there} }

func (j rawJSON) value() (any, error) { return string(*j.to), nil }
func (j rawJSON) place() any          { return j }

// as is a place that two functions keep.
type as struct {
	get func() (any, error)
	set func(src any) error
}

func (a as) value() (any, error) { return a.get() }
func (a as) place() any          { return a }

// Scan takes what the database holds.
func (a as) Scan(src any) error { return a.set(src) }

// As is for a column that two functions keep: what is written, and what is made of what was read, an integer, a text or nil.
func As(get func() (any, error), set func(src any) error) any { return as{get, set} }

// Maybe is for a column that says whether a part of a row is there: of is that part, of which other columns are
// kept, and *to points at it when it is there.
func Maybe[P any](to **P, of *P) any {
	l := &loan{}
	l.as = as{func() (any, error) { return *to != nil, nil }, func(src any) error {
		if src != int64(0) {
			*to, l.given = of, true
		}
		return nil
	}}
	return l
}

// MaybeAt is for a part of a row that is there when it has an instant, of which at is the place.
func MaybeAt[P any](to **P, of *P, at *time.Time) any {
	l := &loan{}
	l.as = as{func() (any, error) { return *at, nil }, func(src any) error {
		err := instant{at}.Scan(src)
		if !at.IsZero() {
			*to, l.given = of, true
		}
		return err
	}}
	return l
}

// valueAt is what is kept of what stands at a place.
func valueAt(at any) (any, error) {
	switch p := at.(type) {
	case kept:
		return p.value()
	case *int64:
		return *p, nil
	case *string:
		return *p, nil
	}
	return reflect.ValueOf(at).Elem().Interface(), nil
}

// placeOf is what a driver scans into.
func placeOf(at any) any {
	switch p := at.(type) {
	case kept:
		return p.place()
	case *calendar.Day:
		return Day(p)
	case *time.Time:
		return Instant(p)
	}
	return at
}
