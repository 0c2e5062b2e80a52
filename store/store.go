// Package store keeps a studio in a database: SQLite by default, PostgreSQL when asked for. It
// implements studio.Store; package studio/storetest holds what both engines must do.
//
// It holds no rule of the trade but one: an entry of the register is checked against edition's rules
// before it is added. What must never happen by any path is refused by the database itself as well:
// triggers keep the register, the stock moves, the payments and the declared limits.
//
// One writer works at a time on both engines (SQLite: BEGIN IMMEDIATE; PostgreSQL: an advisory lock
// that lasts as long as the transaction). Readers see one consistent state and never wait for it.
package store

import (
	"context"
	"database/sql"
	"errors"
	"math/rand/v2"
	"time"

	"solander/fault"
	"solander/studio"
)

// Options are what Open needs beside the place. The zero Options are right for a program.
type Options struct {
	// Clock gives the instant of a transaction; nil = time.Now. Instants are kept in UTC, cut to the
	// microsecond.
	Clock func() time.Time
	// Patience is how long a write waits for its turn before it is Busy, and how long a commit may take
	// before its outcome is not known; 0 = ten seconds.
	Patience time.Duration
	// Away is how long a transaction waits for a server that cannot be reached before it is Busy; 0 = three
	// seconds.
	Away time.Duration
	// Readers is how many reads run side by side; 0 = four.
	Readers int
	// Hasty does not wait for the disk (SQLite alone): a machine that fails may lose or break the file.
	// It is for a store that is filled in one go, then synced and opened again, such as the demo's.
	Hasty bool
	// There is for commands that begin no studio: it must be there already. Of PostgreSQL the database
	// must be, whatever There says.
	There bool
	// Rest is after how long without a write the log is brought into the file (SQLite alone); 0 = twenty
	// seconds.
	Rest time.Duration

	replacing bool // what is made takes the place of the studio whose seal lies there: see Make
}

func (o Options) filled() Options {
	if o.Clock == nil {
		o.Clock = time.Now
	}
	if o.Patience <= 0 {
		o.Patience = 10 * time.Second
	}
	if o.Away <= 0 {
		o.Away = 3 * time.Second
	}
	if o.Readers <= 0 {
		o.Readers = 4
	}
	if o.Rest <= 0 {
		o.Rest = 20 * time.Second
	}
	return o
}

// lockWait is how long, in milliseconds, one statement waits for another program's lock before the
// transaction is tried anew.
func (o Options) lockWait() int64 {
	return max(1, min(5*time.Second, o.Patience/2).Milliseconds())
}

// Open opens the studio at a place, creating or migrating its tables. A place is a file path, with or
// without "sqlite:" before it, or a PostgreSQL connection string ("postgres://…" or "host=… dbname=…").
// A file that cannot be written is opened for reading; every write then says why.
// Faults: Missing when the folder or the database is not there; Refused when the file is no database
// of a studio (it is left untouched), was made by a newer program, is missing or empty where a studio
// stood, or has lost writes that its seal knows.
func Open(ctx context.Context, place string, opt Options) (studio.Store, error) {
	opt = opt.filled()
	var e engine
	var err error
	if isPostgres(place) {
		e, err = openPostgres(ctx, place, opt)
	} else {
		e, err = openSQLite(ctx, place, opt)
	}
	if err != nil {
		return nil, err
	}
	s := &store{engine: e, opt: opt, queue: make(chan struct{}, 1)}
	if err := s.knowPeople(ctx); err != nil {
		return nil, errors.Join(err, e.close())
	}
	return s, nil
}

// knowPeople keeps how buyers are compared of those that an older program kept without.
func (s *store) knowPeople(ctx context.Context) error {
	var due bool
	err := s.read(ctx, func(t *tx) (err error) {
		due, err = t.unput()
		return err
	})
	if err != nil || !due {
		return err
	}
	err = s.write(ctx, (*tx).putPeople)
	if fault.Is(err, fault.Refused) {
		return nil // it may only be read, or there is no room: that must not keep it shut
	}
	return err
}

// engine is what differs between the databases.
type engine interface {
	// begin opens a transaction; a writing one has the writer's place when it returns.
	begin(ctx context.Context, write bool) (session, error)
	integrity(ctx context.Context) ([]string, error)
	// settled tells the engine that a whole studio was put in at once.
	settled(ctx context.Context)
	dialect() dialect
	place() string
	close() error
}

// session is one transaction of an engine.
type session interface {
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	commit(ctx context.Context) error
	rollback()
}

type store struct {
	engine engine
	opt    Options
	queue  chan struct{} // the writer's place within this process
}

// errClosed is what a closed store answers.
var errClosed = fault.New(fault.Refused, "the store is closed")

// Write runs f in one transaction; see studio.Store.
func (s *store) Write(ctx context.Context, f func(studio.Tx) error) error {
	return s.write(ctx, func(t *tx) error { return f(t) })
}

func (s *store) write(ctx context.Context, f func(*tx) error) error {
	deadline := time.Now().Add(s.opt.Patience)
	release, err := s.takePlace(ctx)
	if err != nil {
		return err
	}
	defer release()
	for attempt := 0; ; attempt++ {
		again, err := s.attempt(ctx, f)
		switch {
		case err == nil || !again:
			return err
		case time.Now().After(deadline):
			return busyAfter(err)
		}
		if err := pause(ctx, attempt); err != nil {
			return late(err)
		}
	}
}

// takePlace waits for the writer's place in this process.
func (s *store) takePlace(ctx context.Context) (func(), error) {
	timer := time.NewTimer(s.opt.Patience)
	defer timer.Stop()
	select {
	case s.queue <- struct{}{}:
		return func() { <-s.queue }, nil
	case <-ctx.Done():
		return nil, late(ctx.Err())
	case <-timer.C:
		return nil, busyAfter(errors.New("other writers of this process took too long"))
	}
}

// begin opens a transaction. While the engine cannot be reached it tries again, for a while.
// Faults: Busy.
func (s *store) begin(ctx context.Context, write bool) (session, error) {
	deadline := time.Now().Add(s.opt.Away)
	for attempt := 0; ; attempt++ {
		sess, err := s.engine.begin(ctx, write)
		switch {
		case err == nil || causeOf(err) != connection || fault.CodeOf(err) != fault.Internal:
			return sess, late(err)
		case time.Now().After(deadline):
			return nil, away(err)
		}
		if pause(ctx, attempt) != nil {
			return nil, away(err)
		}
	}
}

// attempt runs f once; again says that the engine asks for another try.
func (s *store) attempt(ctx context.Context, f func(*tx) error) (again bool, err error) {
	sess, err := s.begin(ctx, true)
	if err != nil {
		return fault.CodeOf(err) == fault.Internal && retriable(err), err
	}
	t := s.newTx(ctx, sess)
	done := false
	defer func() {
		if !done { // f panicked, or its work is not to be kept
			sess.rollback()
		}
	}()
	err = f(t)
	if err == nil {
		err = t.indexWords()
	}
	if err == nil {
		err = t.keepCounts()
	}
	if err == nil {
		err = t.failed // a statement failed and f went on: nothing of it may be kept
	}
	if err != nil {
		return t.again && ctx.Err() == nil, t.told(err)
	}
	if err := ctx.Err(); err != nil {
		return false, late(err)
	}
	done = true
	err = sess.commit(ctx)
	if fault.CodeOf(err) != fault.Internal {
		return false, err // the engine says itself what is known, or it is done
	}
	if err != nil && !keptNothing(err) {
		return false, fault.NotKnown().Because(err)
	}
	return err != nil && retriable(err), err
}

// Read runs f on one consistent state; see studio.Store.
func (s *store) Read(ctx context.Context, f func(studio.Tx) error) error {
	return s.read(ctx, func(t *tx) error { return f(t) })
}

func (s *store) read(ctx context.Context, f func(*tx) error) error {
	if err := ctx.Err(); err != nil {
		return late(err)
	}
	sess, err := s.begin(ctx, false)
	if err != nil {
		return err
	}
	defer sess.rollback()
	t := s.newTx(ctx, sess)
	t.reading = true
	return t.told(f(t))
}

func (s *store) newTx(ctx context.Context, sess session) *tx {
	return &tx{
		ctx: ctx, q: sess, dialect: s.engine.dialect(),
		now: s.opt.Clock().UTC().Truncate(time.Microsecond),
	}
}

// Integrity asks the engine and the sums; see studio.Store.
func (s *store) Integrity(ctx context.Context) ([]string, error) {
	found, err := s.engine.integrity(ctx)
	if err != nil {
		return nil, err
	}
	wrong, err := all(ctx, s.sums())
	return append(found, wrong...), err
}

// Place says where the store is, without any password.
func (s *store) Place() string { return s.engine.place() }

// Close waits a while for the transactions that are running; those that come later are refused.
func (s *store) Close() error { return s.engine.close() }

// pause waits before another try: 2 ms, doubling up to 200 ms, half of it by chance.
func pause(ctx context.Context, attempt int) error {
	d := min(2*time.Millisecond<<min(attempt, 7), 200*time.Millisecond)
	timer := time.NewTimer(d/2 + rand.N(d/2+1))
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func busyAfter(err error) error {
	if fault.Is(err, fault.Taken) || fault.Is(err, fault.Refused) {
		return err // the same answer again and again: it is the answer
	}
	if causeOf(err) == connection {
		return away(err)
	}
	return fault.New(fault.Busy, "the store is busy with another write").
		ToMend("try again in a moment").Because(err)
}
