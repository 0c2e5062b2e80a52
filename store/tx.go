package store

import (
	"context"
	"database/sql"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"solander/calendar"
	"solander/fault"
)

// dialect is the SQL in which the engines differ; all else is the same on both.
type dialect struct {
	rowID          string // the id in the tables of words
	beforeSearch   string // a statement that is to run first, if any
	query          func([]term) string
	orders, buyers searchSQL
}

// tx is one transaction: studio.Tx.
type tx struct {
	ctx     context.Context
	q       session
	dialect dialect
	now     time.Time
	latest  time.Time // of the entries of the register that it makes; zero until the first
	reading bool
	failed  error // the first statement that failed: then nothing of the transaction is kept
	again   bool  // it failed for a reason that another try may not meet
	stale   staleWords
	memory  memory
}

// Now is the instant of the transaction, UTC, in whole microseconds.
func (t *tx) Now() time.Time { return t.now }

// exec runs a statement that changes rows and returns how many.
func (t *tx) exec(query string, args ...any) (int64, error) {
	if t.reading {
		return 0, errReading
	}
	bound, err := bind(args)
	if err != nil {
		return 0, t.fail(err)
	}
	res, err := t.q.ExecContext(t.ctx, query, bound...)
	if err != nil {
		return 0, t.fail(err)
	}
	return res.RowsAffected()
}

// one runs a query of at most one row and reports whether there was one.
func (t *tx) one(query string, args []any, dest ...any) (bool, error) {
	found := false
	err := t.each(query, args, func(rows *sql.Rows) error {
		found = true
		return rows.Scan(dest...)
	})
	return found, err
}

// each calls f for every row.
func (t *tx) each(query string, args []any, f func(*sql.Rows) error) error {
	bound, err := bind(args)
	if err != nil {
		return t.fail(err)
	}
	rows, err := t.q.QueryContext(t.ctx, query, bound...)
	if err != nil {
		return t.fail(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return t.fail(err)
		}
	}
	return t.fail(rows.Err())
}

// list gathers what scan makes of every row.
func list[T any](t *tx, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	var out []T
	err := t.each(query, args, func(rows *sql.Rows) error {
		v, err := scan(rows)
		out = append(out, v)
		return err
	})
	return out, err
}

func (t *tx) fail(err error) error {
	if err == nil {
		return nil
	}
	if t.failed == nil {
		t.failed = err
		t.again = retriable(err)
	}
	switch causeOf(err) {
	case badText:
		return errText.Because(err)
	case full:
		return errNoRoom.Because(err)
	}
	return err
}

// change runs an UPDATE or DELETE of one row by id; Missing when there is none.
func (t *tx) change(what string, id int64, query string, args ...any) error {
	n, err := t.exec(query, args...)
	if err == nil && n == 0 {
		return missing("%s %d", what, id)
	}
	return err
}

// must is for a row asked for by id.
func must(found bool, err error, what string, args ...any) error {
	if err == nil && !found {
		return missing(what, args...)
	}
	return err
}

var errReading = fault.New(fault.Internal, "a read tried to write")

var errText = fault.New(fault.Invalid, "a text is not UTF-8 or holds a NUL character").ToMend("type it again")

// bind turns what the rooms use into what both drivers take: integers and text.
func bind(args []any) ([]any, error) {
	out := make([]any, len(args))
	for i, a := range args {
		switch v := a.(type) {
		case nil, int64:
			out[i] = v
		case bool:
			out[i] = bit(v)
		case calendar.Day:
			out[i] = v.String()
		case time.Time:
			out[i] = micros(v)
		case optional:
			if v != 0 {
				out[i] = int64(v)
			}
		default:
			if err := bindKind(a, &out[i]); err != nil {
				return nil, err
			}
		}
		if s, ok := out[i].(string); ok && (!utf8.ValidString(s) || strings.IndexByte(s, 0) >= 0) {
			return nil, errText
		}
	}
	return out, nil
}

func bindKind(a any, to *any) error {
	switch r := reflect.ValueOf(a); r.Kind() {
	case reflect.String:
		*to = r.String()
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		*to = r.Int()
	default:
		return fmt.Errorf("a %T cannot be kept", a)
	}
	return nil
}

func bit(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

// insertInto makes "INSERT INTO table (columns) VALUES ($1, …)".
func insertInto(table, columns string) string {
	return "INSERT INTO " + table + " (" + columns + ") VALUES (" + marks(strings.Count(columns, ",")+1) + ")"
}

// marks makes "$1, $2, …" for n arguments.
func marks(n int) string {
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString("$" + strconv.Itoa(i+1))
	}
	return b.String()
}

// updateOf makes "UPDATE table SET column = $2, … WHERE id = $1" from columns, the first of which is id.
func updateOf(table, columns string) string {
	var set []string
	for i, c := range strings.Split(columns, ", ")[1:] {
		set = append(set, fmt.Sprintf("%s = $%d", c, i+2))
	}
	return "UPDATE " + table + " SET " + strings.Join(set, ", ") + " WHERE id = $1"
}

func selectFrom(table, columns, rest string) string {
	return "SELECT " + columns + " FROM " + table + " " + rest
}

// spread puts "alias." before every column but the first.
func spread(columns, alias string) string { return strings.ReplaceAll(columns, ", ", ", "+alias+".") }
