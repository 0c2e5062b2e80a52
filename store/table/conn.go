// Package table is what the rooms of the tables share: a transaction that runs statements, values as both drivers
// take them, ids that are never given twice, and one list of columns a table, by which its rows are added,
// changed, read and copied. It knows no table itself.
package table

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"time"
	"unicode/utf8"

	"solander/calendar"
	"solander/fault"
	"solander/store/engine"
	"solander/studio"
)

// Conn is one transaction as the rooms of the tables see it. The first statement that fails decides: nothing
// of the transaction is kept then, whatever is made of the error.
type Conn struct {
	ctx      context.Context
	q        engine.Session
	clock    func() time.Time
	reading  bool
	failed   error            // the first statement that failed
	again    bool             // it failed for a reason that another try may not meet
	counters map[string]int64 // the last id given, by table; nil until the first is
	given    map[string]bool  // of those, which are to be kept by KeepCounters
	there    map[rowKey]bool  // rows that were found and are never deleted
	later    func() error     // what Later put off
	changes  int              // statements that may have changed rows
	before   string           // a statement that goes before the first change; "" = none
	heaps    []func() error   // that write what a Heap gathered
	cipher   Cipher
	sealing  *sealing     // what is kept in cipher; nil until it was asked
	watch    engine.Watch // is told of statements; nil = nobody is
	notes    notes        // for the journal
	told     []Told       // for the digests

	Dialect engine.Dialect
}

type rowKey struct {
	table string
	id    int64
}

// Begun is a transaction of an engine that has begun; reading, every change is a fault. Its instant is the one at which it
// begins, unless it tells a story: then it follows the clock.
func Begun(ctx context.Context, q engine.Session, dialect engine.Dialect, opt engine.Options, reading bool) *Conn {
	clock := opt.Clock
	if !opt.Story {
		began := clock()
		clock = func() time.Time { return began }
	}
	return &Conn{ctx: ctx, q: q, Dialect: dialect, clock: clock, reading: reading, watch: opt.Watch}
}

// Now is the instant of the transaction, UTC, in whole microseconds.
func (c *Conn) Now() time.Time { return c.clock().UTC().Truncate(time.Microsecond) }

// Context is that of the transaction.
func (c *Conn) Context() context.Context { return c.ctx }

// Failed is the first statement that failed, if any; again says that another try may succeed.
func (c *Conn) Failed() (err error, again bool) { return c.failed, c.again && c.ctx.Err() == nil }

// Repeat says that another writer was quicker, so that the whole transaction is to run again.
func (c *Conn) Repeat() { c.again = true }

// MayWrite is a fault in a transaction that reads.
func (c *Conn) MayWrite() error {
	if c.reading {
		return errReading
	}
	return nil
}

// Later puts off until the next statement what rows are still to be written, so that several changes of them become one.
// Nothing reads or ends the transaction before it is done; put off twice, only the last one is.
func (c *Conn) Later(do func() error) { c.later = do }

// Settle does what was put off.
func (c *Conn) Settle() error {
	do := c.later
	if c.later = nil; do == nil {
		return nil
	}
	err := do()
	if err != nil && c.failed == nil {
		c.failed = err
	}
	return err
}

// Exec runs a statement that changes rows and returns how many.
func (c *Conn) Exec(query string, args ...any) (int64, error) {
	if c.reading {
		return 0, errReading
	}
	if err := c.Settle(); err != nil {
		return 0, err
	}
	if err := c.begin(); err != nil {
		return 0, err
	}
	bound, err := bind(args)
	if err != nil {
		return 0, c.fail(err)
	}
	defer c.watched(query)()
	res, err := c.q.ExecContext(c.ctx, query, bound...)
	if err != nil {
		return 0, c.fail(err)
	}
	return res.RowsAffected()
}

// Soon runs a statement that changes rows and for whose answer nobody waits: what it is refused for may be said by a later one, and ends the
// transaction all the same.
func (c *Conn) Soon(query string, args ...any) error {
	if c.reading {
		return errReading
	}
	if err := c.Settle(); err != nil {
		return err
	}
	if err := c.begin(); err != nil {
		return err
	}
	bound, err := bind(args)
	if err != nil {
		return c.fail(err)
	}
	defer c.watched(query)()
	return c.fail(c.q.Soon(c.ctx, query, bound...))
}

// Ahead asks together what is asked one by one soon after, word by word and before anything is changed: on a server that is one way there and back. Where the
// way is short nobody is asked what that would be.
func (c *Conn) Ahead(what func() []engine.Ask) error {
	if !c.Dialect.Far {
		return nil
	}
	if err := c.Settle(); err != nil {
		return err
	}
	asks := what()
	bound := make([]engine.Ask, len(asks))
	for i, a := range asks {
		args, err := bind(a.Args)
		if err != nil {
			return c.fail(err)
		}
		bound[i] = engine.Ask{Query: a.Query, Args: args}
	}
	return c.fail(c.q.Ahead(c.ctx, bound))
}

// Finish runs what was put off, before the transaction is committed.
func (c *Conn) Finish() error {
	if err := c.Settle(); err != nil {
		return err
	}
	return c.fail(c.q.Finish(c.ctx))
}

// Before says which statement goes before the first change of rows.
func (c *Conn) Before(statement string) { c.before = statement }

// begin counts a change, and does what goes before the first.
func (c *Conn) begin() error {
	c.changes++
	if c.changes > 1 || c.before == "" {
		return nil
	}
	return c.fail(c.q.Soon(c.ctx, c.before))
}

// watched tells whoever watches how long a statement took, with what was made of its rows, once the function that it returns is called.
func (c *Conn) watched(query string) func() {
	if c.watch == nil {
		return func() {}
	}
	began := time.Now()
	return func() { c.watch.Statement(query, time.Since(began)) }
}

// Changes counts the statements that may have changed rows so far.
func (c *Conn) Changes() int { return c.changes }

// One runs a query of at most one row and reports whether there was one.
func (c *Conn) One(query string, args []any, dest ...any) (bool, error) {
	found := false
	err := c.Each(query, args, func(rows *sql.Rows) error {
		found = true
		return rows.Scan(dest...)
	})
	return found, err
}

// Each calls f for every row.
func (c *Conn) Each(query string, args []any, f func(*sql.Rows) error) error {
	if err := c.Settle(); err != nil {
		return err
	}
	if !strings.HasPrefix(query, "SELECT") && !c.reading && !strings.HasPrefix(query, "WITH") { // it changes rows, and tells of them
		if err := c.begin(); err != nil {
			return err
		}
	}
	bound, err := bind(args)
	if err != nil {
		return c.fail(err)
	}
	defer c.watched(query)()
	rows, err := c.q.QueryContext(c.ctx, query, bound...)
	if err != nil {
		return c.fail(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return c.fail(err)
		}
	}
	return c.fail(rows.Err())
}

// Ask runs what an engine wants to run before a question; it is no change.
func (c *Conn) Ask(statement string) error {
	_, err := c.q.ExecContext(c.ctx, statement)
	return c.fail(err)
}

// List gathers what scan makes of every row.
func List[T any](c *Conn, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	var out []T
	err := c.Each(query, args, func(rows *sql.Rows) error {
		v, err := scan(rows)
		out = append(out, v)
		return err
	})
	return out, err
}

func (c *Conn) fail(err error) error {
	if err == nil {
		return nil
	}
	if c.failed == nil {
		c.failed = err
		c.again = engine.Retriable(err)
	}
	switch engine.CauseOf(err) {
	case engine.BadText:
		return errText.Because(err)
	case engine.Full:
		return engine.NoRoom.Because(err)
	}
	return err
}

// Told turns what ended a transaction into what can be said of it; what is a fault already stays as it is.
func (c *Conn) Told(err error) error {
	if err == nil || fault.CodeOf(err) != fault.Internal {
		return err
	}
	switch {
	case c.failed != nil && errors.Is(c.ctx.Err(), context.DeadlineExceeded):
		return engine.Late(errors.Join(c.ctx.Err(), err)) // a statement that was stopped has a word of its own for it
	case engine.CauseOf(c.failed) == engine.Connection:
		return engine.Away(err)
	case engine.CauseOf(c.failed) == engine.Corrupt, errors.Is(err, studio.ErrDamaged):
		return fault.New(fault.Refused, "the file of the studio is damaged").ToMend("run check, and restore the latest copy to a new place").Because(errors.Join(studio.ErrDamaged, err))
	}
	return err
}

// Change runs an UPDATE or DELETE of one row by id; Missing when there is none.
func (c *Conn) Change(what string, id int64, query string, args ...any) error {
	n, err := c.Exec(query, args...)
	if err == nil && n == 0 {
		return engine.Missing("%s %d", what, id)
	}
	return err
}

// Must is for a row asked for by id.
func Must(found bool, err error, what string, args ...any) error {
	if err == nil && !found {
		return engine.Missing(what, args...)
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
		case nil, int64, string:
			out[i] = v
		case bool:
			out[i] = Bit(v)
		case calendar.Day:
			out[i] = v.String()
		case time.Time:
			out[i] = micros(v)
		case Optional:
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

// Bit is how a yes is kept.
func Bit(b bool) int64 {
	if b {
		return 1
	}
	return 0
}
