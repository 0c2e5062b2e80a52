// Package store keeps a studio in a database: SQLite by default, PostgreSQL when asked for. It
// implements studio.Store; package studio/storetest holds what both engines must do.
//
// This room is the door: it opens, runs transactions, tries again, and puts a transaction together of the rooms
// that keep the tables. It holds no rule of the trade but one: an entry of the register is checked against edition's rules
// before it is added. What must never happen by any path is refused by the database itself as well:
// triggers keep the register, the stock moves, the payments and the declared limits.
//
// One writer works at a time on both engines (SQLite: BEGIN IMMEDIATE; PostgreSQL: an advisory lock
// that lasts as long as the transaction). Readers see one consistent state and never wait for it.
//
// Behind this door stand rooms of three kinds: the engines (sqlite with all that guards the studio's file, postgres, and engine,
// what both must do), the tables by area, on table and words, and copies. A transaction is put together of one small store an
// area; each table has one list of columns.
package store

import (
	"context"
	"errors"
	"io"
	"sync/atomic"
	"time"

	"solander/fault"
	"solander/sealog"
	"solander/store/copies"
	"solander/store/digests"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/store/postgres"
	"solander/store/sqlite"
	"solander/store/table"
	"solander/store/vault"
	"solander/store/vouch"
	"solander/studio"
	"solander/upkeep"
)

// Options are what Open needs beside the place. The zero Options are right for a program.
type Options = engine.Options

// Open opens the studio at a place, creating or migrating its tables. A place is a file path, with or
// without "sqlite:" before it, or a PostgreSQL connection string ("postgres://…" or "host=… dbname=…").
// A file that cannot be written is opened for reading; every write then says why.
// Faults: Missing when the folder or the database is not there; Refused when the file is no database
// of a studio (it is left untouched), was made by a newer program, is missing or empty where a studio
// stood, or has lost writes that its seal knows.
func Open(ctx context.Context, place string, opt Options) (studio.Store, error) {
	s, err := open(ctx, place, opt, false)
	if err != nil {
		return nil, err
	}
	return s, nil
}

// keyTail is behind the name of the studio's file in that of its key, where no other was named.
const keyTail = "-key"

// KeyFile is where the key lies of a studio at a place; "" = there is no place for one.
func KeyFile(place string, opt Options) string {
	if path, err := sqlite.Path(place); opt.KeyFile == "" && !isPostgres(place) && err == nil {
		return path + keyTail
	}
	return opt.KeyFile
}

// registerKeyTail is behind the name of the studio's file in that of the register's key.
const registerKeyTail = "-register-key"

// RegisterKeyFile is where the register's key lies of a studio at a place; "" = there is no place for one.
func RegisterKeyFile(place string, opt Options) string {
	if path, err := sqlite.Path(place); opt.RegisterKey == "" && !isPostgres(place) && err == nil {
		return path + registerKeyTail
	}
	return opt.RegisterKey
}

func open(ctx context.Context, place string, opt Options, replacing bool) (*store, error) {
	opt = opt.Filled()
	e, err := openEngine(ctx, place, opt, replacing)
	if err != nil {
		return nil, err
	}
	opt.KeyFile, opt.RegisterKey, opt.RowKey = KeyFile(place, opt), RegisterKeyFile(place, opt), RowKeyFile(place, opt)
	s := &store{engine: e, opt: opt, queue: make(chan struct{}, 1), beside: opt.KeyFile != "", shared: isPostgres(place)}
	if err := s.unlock(ctx); err != nil {
		return nil, errors.Join(err, e.Close())
	}
	vouchForRows, err := s.findsRows(ctx)
	if err := errors.Join(err, s.makeAnew(ctx), s.keepSecrets(ctx)); err != nil {
		return nil, errors.Join(err, e.Close())
	}
	if replacing { // nothing may lie at its place before it stands there
		vouchForRows = func(context.Context) error { return nil }
	}
	if err := vouchForRows(ctx); err != nil {
		return nil, errors.Join(err, e.Close())
	}
	if !replacing && !opt.Hasty { // what is filled in haste is no studio yet
		if err := s.vouched(ctx); err != nil {
			return nil, errors.Join(err, e.Close())
		}
	}
	return s, nil
}

func openEngine(ctx context.Context, place string, opt Options, replacing bool) (engine.Engine, error) {
	if isPostgres(place) {
		return postgres.Open(ctx, place, opt, copies.Older)
	}
	path, err := sqlite.Path(place)
	if err != nil {
		return nil, err
	}
	return sqlite.Open(ctx, path, opt, replacing)
}

// Make fills a new studio at a place. In a file it stands whole when fill is done; when fill fails, or the program is
// killed, nothing is there. A studio that is there already is given to fill as it is. Whoever makes a studio at a place takes
// leave of the one that stood there before: its seal is replaced.
// Faults: as Open; Taken when another program was quicker; fill's own.
func Make(ctx context.Context, place string, opt Options, fill func(studio.Store) error) error {
	var made, copied bool
	filled := func(place string) error {
		s, err := open(ctx, place, opt, true)
		if err != nil {
			return err
		}
		if made, err = s.unvouched(ctx); err == nil {
			err = fill(s)
		}
		copied = s.copied
		if err == nil {
			err = s.takeLeave(ctx)
		}
		return errors.Join(err, s.Close())
	}
	vouched := func(err error) error {
		if err != nil || !made {
			return err
		}
		return vouchForMade(ctx, place, opt, copied)
	}
	if isPostgres(place) {
		return vouched(filled(place))
	}
	path, err := sqlite.Path(place)
	if err != nil {
		return err
	}
	opt.KeyFile, opt.RegisterKey, opt.RowKey = KeyFile(place, opt), RegisterKeyFile(place, opt), RowKeyFile(place, opt) // it is filled beside its place, and its keys lie at its place
	return vouched(sqlite.Make(path, opt.There, filled))
}

// makeAnew makes what follows from the rows of a studio that an older program kept: how its buyers are compared, what stands in the journal
// of all that happened so far, and the words by which orders and buyers are found; and it takes what was entered before there was a log into
// the log.
func (s *store) makeAnew(ctx context.Context) error {
	upgraded := s.engine.Upgraded() != (engine.Upgrade{})
	missing := upgraded
	if !missing {
		err := s.read(ctx, func(t *tx) (err error) {
			for _, lacks := range []func() (bool, error){t.Unput, t.Untaken, t.Unposted} {
				if missing, err = lacks(); err != nil || missing {
					break
				}
			}
			return err
		})
		if err != nil || !missing {
			return err
		}
	}
	err := s.write(ctx, func(t *tx) error {
		if upgraded {
			t.KeepLeft()
		}
		for _, do := range []func() error{t.TakeUp, t.PutPeople, t.PostPast} {
			if err := do(); err != nil {
				return err
			}
		}
		if !upgraded {
			return nil
		}
		if err := t.index.All(); err != nil {
			return err
		}
		return t.Renewed()
	})
	if fault.Is(err, fault.Refused) {
		return nil // it may only be read, or there is no room: that must not keep it shut
	}
	return err
}

type store struct {
	engine engine.Engine
	opt    Options
	queue  chan struct{} // the writer's place within this process
	kept   between
	key    atomic.Pointer[vault.Key]  // nil = this program has none
	shared bool                       // the key of its rows is for programs on several machines
	rows   atomic.Pointer[digests.By] // by what rows are vouched for; nil = not looked at
	beside bool                       // its key lies beside the studio's file, if any

	copied   bool // a copy was put in
	unposted bool // nothing is entered in the journal: to measure what that takes
}

// Write runs f in one transaction; see studio.Store.
func (s *store) Write(ctx context.Context, f func(studio.Tx) error) error {
	return s.write(ctx, func(t *tx) error { return f(t) })
}

func (s *store) write(ctx context.Context, f func(*tx) error) (err error) {
	defer s.watched(true, &err)()
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
			return engine.BusyAfter(err)
		}
		if err := engine.Pause(ctx, attempt); err != nil {
			return engine.Late(err)
		}
		if s.opt.Watch != nil {
			s.opt.Watch.Again()
		}
	}
}

// watched tells whoever watches of a transaction once the function that it returns is called.
func (s *store) watched(write bool, err *error) func() {
	if s.opt.Watch == nil {
		return func() {}
	}
	began := time.Now()
	return func() { s.opt.Watch.Transaction(write, time.Since(began), *err) }
}

// takePlace waits for the writer's place in this process.
func (s *store) takePlace(ctx context.Context) (func(), error) {
	timer := time.NewTimer(s.opt.Patience)
	defer timer.Stop()
	select {
	case s.queue <- struct{}{}:
		return func() { <-s.queue }, nil
	case <-ctx.Done():
		return nil, engine.Late(ctx.Err())
	case <-timer.C:
		return nil, engine.BusyAfter(errors.New("other writers of this process took too long"))
	}
}

// begin opens a transaction. While the engine cannot be reached it tries again, for a while.
// Faults: Busy.
func (s *store) begin(ctx context.Context, write bool) (engine.Session, error) {
	deadline := time.Now().Add(s.opt.Away)
	for attempt := 0; ; attempt++ {
		sess, err := s.engine.Begin(ctx, write)
		switch {
		case err == nil || engine.CauseOf(err) != engine.Connection || fault.CodeOf(err) != fault.Internal:
			return sess, engine.Late(err)
		case time.Now().After(deadline):
			return nil, engine.Away(err)
		}
		if engine.Pause(ctx, attempt) != nil {
			return nil, engine.Away(err)
		}
	}
}

// attempt runs f once; again says that the engine asks for another try.
func (s *store) attempt(ctx context.Context, f func(*tx) error) (again bool, err error) {
	sess, err := s.begin(ctx, true)
	if err != nil {
		return fault.CodeOf(err) == fault.Internal && engine.Retriable(err), err
	}
	t := s.newTx(ctx, sess, false)
	done := false
	defer func() {
		if !done { // f panicked, or its work is not to be kept
			sess.Rollback()
		}
	}()
	if err := t.run(f); err != nil {
		_, again := t.conn.Failed()
		return again, t.conn.Told(err)
	}
	if err := ctx.Err(); err != nil {
		return false, engine.Late(err)
	}
	done = true
	err = sess.Commit(ctx)
	if fault.CodeOf(err) != fault.Internal {
		return false, err // the engine says itself what is known, or it is done
	}
	if err != nil && !engine.KeptNothing(err) {
		return false, fault.NotKnown().Because(err)
	}
	return err != nil && engine.Retriable(err), engine.When(err, engine.Full, engine.NoRoom)
}

// Read runs f on one consistent state; see studio.Store.
func (s *store) Read(ctx context.Context, f func(studio.Tx) error) error {
	return s.read(ctx, func(t *tx) error { return f(t) })
}

func (s *store) read(ctx context.Context, f func(*tx) error) (err error) {
	defer s.watched(false, &err)()
	if err := ctx.Err(); err != nil {
		return engine.Late(err)
	}
	sess, err := s.begin(ctx, false)
	if err != nil {
		return err
	}
	defer sess.Rollback()
	t := s.newTx(ctx, sess, true)
	return t.conn.Told(f(t))
}

func (s *store) newTx(ctx context.Context, sess engine.Session, reading bool) *tx {
	c := table.Begun(ctx, sess, s.engine.Dialect(), s.opt, reading)
	c.Ciphered(s.cipher())
	t := newTx(c, &s.kept, s.opt, s.by())
	t.unposted = s.unposted
	return t
}

// Integrity asks the engine and the sums; see studio.Store.
func (s *store) Integrity(ctx context.Context) ([]string, error) {
	if err := s.digestAll(ctx); err != nil {
		return nil, err
	}
	found, err := s.engine.Integrity(ctx)
	if err != nil {
		return nil, err
	}
	wrong, err := engine.All(ctx, s.sums())
	return append(found, wrong...), err
}

// Heed tells of writes as long as ctx lasts; see studio.Store.
func (s *store) Heed(ctx context.Context, heard func()) (tells bool, err error) {
	return s.engine.Heed(ctx, heard)
}

// Wipe writes the store's files anew; see studio.Store.
func (s *store) Wipe(ctx context.Context) error {
	release, err := s.takePlace(ctx)
	if err != nil {
		return err
	}
	defer release()
	return s.engine.Wipe(ctx)
}

// RegisterKey says where the register's key lies; see studio.Store.
func (s *store) RegisterKey() sealog.KeyPlace {
	return sealog.KeyPlace{File: s.opt.RegisterKey, Passphrase: s.opt.Passphrase, User: s.opt.UserKey, Ring: s.opt.Ring}
}

// CheckpointFile is where the newest checkpoint lies; see studio.Store.
func (s *store) CheckpointFile() string { return checkpointFile(s.opt.RegisterKey) }

// Place says where the store is, without any password.
func (s *store) Place() string { return s.engine.Place() }

// Ready reports whether the store answers, and its tables are in the form that this program knows: a newer program may have brought
// them further since it was opened. Faults: Refused then; Busy.
func (s *store) Ready(ctx context.Context) error {
	want, err := migrations.Schema()
	if err != nil {
		return err
	}
	return s.read(ctx, func(t *tx) error {
		var have int64
		if _, err := t.conn.One(`SELECT max(version_id) FROM `+migrations.Versions, nil, &have); err != nil || have == want {
			return err
		}
		return fault.New(fault.Refused, "the tables are of form %d, and this program knows %d", have, want).ToMend("start the newer version of the program")
	})
}

// Upgraded says what opening did to a studio that an older program had made, and where the copy from before is; copy is empty when
// there was nothing to do.
func (s *store) Upgraded() (from, to int64, copy string) {
	u := s.engine.Upgraded()
	return u.From, u.To, u.Copy
}

// Close waits a while for the transactions that are running; those that come later are refused. A store that was filled in haste gets its digests first.
func (s *store) Close() error {
	err := s.digestAll(context.Background())
	if err == nil {
		err = s.vouchedFor(context.Background())
	}
	if errors.Is(err, engine.Closed) {
		err = nil
	}
	return errors.Join(err, s.engine.Close())
}

// digestAll makes the digests that a store which is filled in haste left to its end, or to when they are asked for, also of a studio that was
// left meanwhile.
func (s *store) digestAll(ctx context.Context) error {
	if !s.opt.Hasty {
		return nil
	}
	left := false
	err := s.read(ctx, func(t *tx) (err error) {
		left, err = t.Pending()
		return err
	})
	if err != nil || !left { // nothing is written for nothing: who looks may come at the same time as who works
		return err
	}
	return s.write(upkeep.WhileLeaving(ctx), func(t *tx) error { return t.KeepDigests() })
}

// Dump writes a copy of one consistent state; see studio.Store. It holds up no writer.
func (s *store) Dump(ctx context.Context, w io.Writer) error {
	if err := s.digestAll(ctx); err != nil {
		return err
	}
	return s.read(ctx, func(t *tx) error { return copies.Dump(t.conn, w) })
}

// Load fills an empty store from a copy; see studio.Store. The copy is read once, so a busy store is
// not tried again.
func (s *store) Load(ctx context.Context, r io.Reader) error {
	release, err := s.takePlace(ctx)
	if err != nil {
		return err
	}
	defer release()
	again, err := s.attempt(ctx, func(t *tx) error {
		if err := copies.Load(t.conn, r); err != nil {
			return err
		}
		if err := t.Discard(); err != nil {
			return err
		}
		if err := s.loaded(t); err != nil {
			return err
		}
		if by := s.by(); by.Key != nil {
			t.TakeOn(by.Key, vouch.Copied)
		}
		if err := t.PutPeople(); err != nil {
			return err
		}
		if err := t.PostPast(); err != nil {
			return err
		}
		return t.index.All()
	})
	switch {
	case err == nil:
		s.copied = true
		s.engine.Settled(ctx)
	case again:
		return engine.BusyAfter(err)
	}
	return err
}
