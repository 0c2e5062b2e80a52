// Package sqlite keeps a studio in one SQLite file, and guards that file: what is made stands whole at its place or not at
// all, a log is never parted from its file, and a seal beside it knows what was written last. It implements engine.Engine
// and knows no table but the register and the orders, which the seal names. Nothing is written into a file that was
// moved away, replaced or written over while it was open.
package sqlite

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"maps"
	"net/url"
	"os"
	"strings"
	"sync/atomic"
	"time"

	modernc "modernc.org/sqlite" // the driver "sqlite"

	"solander/fault"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/studio"
)

// lite is SQLite: one connection that writes, a few that read.
type lite struct {
	main           *mainFile
	seal           *sealFile // nil = none is kept
	writer, reader *sql.DB
	writes, reads  chan *slot // idle connections
	how            url.Values // how it is opened for reading: nothing, mode or immutable
	opt            engine.Options
	closed         atomic.Bool
	keeper         *keeper // nil = the store is only read, or filled in haste
	upgraded       engine.Upgrade
}

// slot is a connection with its prepared statements.
type slot struct {
	db    *sql.DB
	conn  *sql.Conn
	stmts map[string]*sql.Stmt
	// beside are the log and its index as the connection found them; nil = not yet looked at.
	beside [2]os.FileInfo
}

// Open opens a file, which Path has named, making it when it may; replacing is for one that takes the place of the
// studio whose seal lies there. Faults: Missing, Refused; see package store.
func Open(ctx context.Context, path string, opt engine.Options, replacing bool) (engine.Engine, error) {
	made, err := prepareFile(ctx, path, opt, replacing)
	if err != nil {
		return nil, err
	}
	main, err := openMain(path)
	if err != nil {
		return nil, err
	}
	l := &lite{main: main, how: url.Values{}, writes: make(chan *slot, 1), reads: make(chan *slot, opt.Readers), opt: opt}
	if err := l.open(ctx, made); err != nil {
		if fault.CodeOf(err) == fault.Internal { // one that says more stays
			err = engine.When(err, engine.Full, engine.NoRoom)
		}
		return nil, damagedAt(path, errors.Join(err, l.disconnect(), main.close()))
	}
	l.writes <- &slot{db: l.writer}
	for range opt.Readers {
		l.reads <- &slot{db: l.reader}
	}
	if l.seal != nil {
		l.keeper = startKeeper(l)
	}
	if opt.Watch != nil {
		opt.Watch.Pool("read", l.reader)
		if l.writer != nil {
			opt.Watch.Pool("write", l.writer)
		}
	}
	return l, nil
}

// open connects, and sees that the file is as far as its seal.
func (l *lite) open(ctx context.Context, made bool) error {
	high, sealed := ReadSeal(l.main.path)
	sealed = sealed && !made
	if sealed && high.Studio != l.main.id {
		return l.main.against(Seal{Studio: l.main.id}, high) // before its log could be taken for this one's
	}
	if err := l.notNewer(ctx, made); err != nil {
		return err
	}
	if l.main.only == nil {
		err := l.connect(ctx)
		if engine.CauseOf(err) == engine.Unwritable {
			l.main.only = readOnly(l.main.given, "its folder may not be written by this user", err)
			err = l.disconnect()
		}
		if err != nil {
			return err
		}
	}
	if l.main.only != nil {
		if err := l.connectReading(ctx); err != nil {
			return err
		}
	}
	have, err := l.main.highWater(ctx, l.reader, high)
	if err != nil {
		return err
	}
	if sealed {
		if err := l.main.against(have, high); err != nil {
			return err
		}
	}
	if l.main.only != nil || l.opt.Hasty {
		return nil
	}
	l.seal = &sealFile{path: l.main.path + SealTail}
	if made {
		os.Remove(l.seal.path) // of a studio that stood here before
	}
	if !sealed || have.Writes > high.Writes {
		return l.sealAsItIs(ctx)
	}
	return nil
}

// sealAsItIs puts a seal that says how far the file has come.
func (l *lite) sealAsItIs(ctx context.Context) error {
	last, err := l.main.highWater(ctx, l.reader, Seal{})
	if err != nil {
		return err
	}
	if last, err = l.main.highWater(ctx, l.reader, last); err != nil {
		return err
	}
	last.At = stamp(l.opt.Clock())
	l.seal.put(last)
	return l.seal.settle()
}

func (l *lite) pragmas(more ...string) []string {
	synchronous := "synchronous(FULL)"
	if l.opt.Hasty {
		synchronous = "synchronous(OFF)"
	}
	return append([]string{fmt.Sprintf("busy_timeout(%d)", l.opt.LockWait()), "foreign_keys(1)", synchronous, "trusted_schema(0)"}, more...)
}

// inMemory keeps what a statement would need to be taken back alone in memory, page by page as it is touched: a file for that is written at
// each statement of a long transaction, once one statement needed more than a little of it. Source: sqlite.org/tempfiles.html, 2.4 and 3.
const inMemory = "temp_store(MEMORY)"

// connect opens the file for writing and brings its tables to their form.
func (l *lite) connect(ctx context.Context) error {
	var err error
	l.writer, err = sql.Open("sqlite", dsn(l.main.path, url.Values{"_pragma": l.pragmas("journal_mode(WAL)", "cache_size(-6000)", inMemory)}))
	if err != nil {
		return err
	}
	l.writer.SetMaxOpenConns(1)
	if err := l.upToDate(ctx); err != nil {
		return err
	}
	if err := l.identify(ctx); err != nil {
		return err
	}
	l.reader, err = sql.Open("sqlite", dsn(l.main.path, url.Values{"_pragma": l.pragmas("query_only(1)", "cache_size(-2000)")}))
	return err
}

// identify gives an id to a file that was made before there were any.
func (l *lite) identify(ctx context.Context) error {
	if l.main.id != 0 {
		return nil
	}
	err := inOne(ctx, l.writer, func(tx *sql.Tx) error {
		var id int64
		if err := tx.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&id); err != nil || id != 0 {
			return err
		}
		_, err := tx.ExecContext(ctx, giveID())
		return err
	})
	if err != nil {
		return err
	}
	if _, err := l.writer.ExecContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`); err != nil {
		return err
	}
	h, err := l.main.head()
	if err == nil && h.id == 0 {
		err = fault.New(fault.Busy, "another program keeps the studio's file while this one brings it up to date").At("%s", l.main.given).ToMend("close the other one, and try again")
	}
	l.main.id = h.id
	return err
}

// connectReading opens a file that cannot be written. Where nothing lies beside it, or the engine may make
// nothing there, the file is read as one that nobody changes, which leaves nothing behind. That would leave
// out its log, so there must be none; and when somebody writes it after all, begin says so.
func (l *lite) connectReading(ctx context.Context) error {
	err := error(errAlone)
	if !l.main.alone() {
		err = l.readBy(ctx, url.Values{"mode": {"ro"}})
	}
	if (errors.Is(err, errAlone) || engine.CauseOf(err) == engine.Unwritable) && LogOf(l.main.path) == "" {
		l.main.still = true
		err = l.readBy(ctx, url.Values{"immutable": {"1"}})
	}
	if engine.CauseOf(err) == engine.Unwritable {
		err = l.main.only.Because(err)
	}
	return err
}

// errAlone says that nothing lies beside the file.
var errAlone = errors.New("the file stands alone")

func (l *lite) readBy(ctx context.Context, how url.Values) error {
	if l.reader != nil {
		l.reader.Close()
	}
	l.how = maps.Clone(how)
	how["_pragma"] = l.pragmas("query_only(1)", "cache_size(-2000)")
	var err error
	if l.reader, err = sql.Open("sqlite", dsn(l.main.path, how)); err != nil {
		return err
	}
	have, want, err := migrations.SQLite.Due(ctx, l.reader, l.main.given)
	if err == nil && have < want {
		err = fault.New(fault.Refused, "an older version of this program made the studio, and it cannot be brought up to date where it cannot be written").
			At("%s", l.main.given).ToMend("copy it to a place that can be written, and open it there")
	}
	return err
}

func (l *lite) Begin(ctx context.Context, write bool) (engine.Session, error) {
	free, how := l.reads, "BEGIN"
	if write {
		if l.main.only != nil {
			return nil, l.main.only
		}
		free, how = l.writes, "BEGIN IMMEDIATE"
	}
	var s *slot
	select {
	case s = <-free:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if l.closed.Load() {
		free <- s
		return nil, engine.Closed
	}
	sess, err := l.beginOn(ctx, s, how, func() { free <- s })
	if err != nil {
		free <- s
		return nil, err
	}
	return sess, nil
}

func (l *lite) beginOn(ctx context.Context, s *slot, how string, free func()) (engine.Session, error) {
	if err := l.main.same(); err != nil {
		return nil, err
	}
	if how != "BEGIN" && l.seal != nil {
		if err := l.seal.settle(); err != nil {
			return nil, err
		}
	}
	if err := s.begin(ctx, how); err != nil {
		return nil, err
	}
	return &liteSession{slot: s, lite: l, free: free, writes: how != "BEGIN"}, nil
}

func (s *slot) begin(ctx context.Context, how string) error {
	if s.conn == nil {
		conn, err := s.db.Conn(ctx)
		if err != nil {
			return err
		}
		s.conn, s.stmts = conn, make(map[string]*sql.Stmt)
	}
	_, err := s.ExecContext(ctx, how)
	if err != nil && engine.CauseOf(err) != engine.Busy {
		s.drop()
	}
	return err
}

// drop closes the connection; the next transaction opens another.
func (s *slot) drop() {
	if s.conn == nil {
		return
	}
	for _, st := range s.stmts {
		st.Close()
	}
	_ = s.conn.Raw(func(any) error { return driver.ErrBadConn })
	s.conn.Close()
	s.conn, s.stmts, s.beside = nil, nil, [2]os.FileInfo{}
}

// mostStatements bounds the statements kept prepared on a connection.
const mostStatements = 300

func (s *slot) prepared(ctx context.Context, query string) (*sql.Stmt, error) {
	if st, ok := s.stmts[query]; ok {
		return st, nil
	}
	if len(s.stmts) >= mostStatements {
		for q, st := range s.stmts {
			st.Close()
			delete(s.stmts, q)
		}
	}
	st, err := s.conn.PrepareContext(ctx, unnamed(query))
	if err == nil {
		s.stmts[query] = st
	}
	return st, err
}

func (s *slot) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	st, err := s.prepared(ctx, query)
	if err != nil {
		return nil, err
	}
	return st.ExecContext(ctx, args...)
}

func (s *slot) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	st, err := s.prepared(ctx, query)
	if err != nil {
		return nil, err
	}
	return st.QueryContext(ctx, args...)
}

func (l *lite) Dialect() engine.Dialect {
	return engine.Dialect{
		Columns: migrations.SQLite.Columns,
		RowID:   "rowid", Query: liteQuery, Fields: liteFields, Version: `SELECT CAST(writes AS TEXT) FROM high_water`,
		Orders: engine.Search{
			Put:   `INSERT OR REPLACE INTO order_words (rowid, words) VALUES ($1, $2)`,
			Clear: `INSERT INTO order_words (order_words) VALUES ('delete-all')`,
			From:  `order_words CROSS JOIN orders r ON r.id = order_words.rowid`,
			Match: `order_words MATCH $1`, ID: `order_words.rowid`,
		},
		Buyers: engine.Search{
			Put:   `INSERT OR REPLACE INTO buyer_words (rowid, words) VALUES ($1, $2)`,
			Clear: `INSERT INTO buyer_words (buyer_words) VALUES ('delete-all')`,
			From:  `buyer_words CROSS JOIN buyers r ON r.id = buyer_words.rowid`,
			Match: `buyer_words MATCH $1`, ID: `buyer_words.rowid`,
		},
	}
}

func liteFields(column string, fields ...string) string {
	return "json_extract(" + column + ", '$." + strings.Join(fields, "', '$.") + "')"
}

// liteQuery makes a full-text Query: every term, each a word or the beginning of one. Terms hold
// letters and digits only.
func liteQuery(terms []engine.Term) string {
	var out []string
	for _, t := range terms {
		q := `"` + t.Word + `"`
		if !t.Whole {
			q += "*"
		}
		out = append(out, q)
	}
	return strings.Join(out, " AND ")
}

func (l *lite) Settled(context.Context) {}

// Heed hears nothing: a file tells nobody that another program wrote it.
func (l *lite) Heed(context.Context, func()) (tells bool, err error) { return false, nil }

func (l *lite) Place() string { return "SQLite file " + l.main.given }

// Close waits a while for the transactions that are running, and closes every connection: the last one
// writes the log back into the file. When the file was moved away, its log goes after it, so that it is
// whole there, and nobody takes the log for that of the file that lies here now. When it was written over,
// nothing is closed: the log must not go into a file that is another's. It ends with the process then.
// Faults: Refused when the file was written over.
func (l *lite) Close() error {
	if err := l.main.ours(); err != nil && !l.closed.Load() {
		return err
	}
	if l.closed.Swap(true) {
		return nil
	}
	if l.keeper != nil {
		l.keeper.end()
	}
	if l.writer != nil && l.main.unmoved() != nil {
		_ = l.settleMoved() // at worst the log stays
	}
	timer := time.NewTimer(l.opt.Patience)
	defer timer.Stop()
	for _, free := range []chan *slot{l.reads, l.writes} {
		var slots []*slot
		for range cap(free) {
			select {
			case s := <-free:
				s.drop()
				slots = append(slots, s)
			case <-timer.C:
				timer.Reset(0)
			}
		}
		for _, s := range slots {
			free <- s // whoever asks for it hears that the store is closed
		}
	}
	if l.seal != nil {
		l.seal.sync()
	}
	return errors.Join(l.disconnect(), l.main.close())
}

// settleMoved brings the log of a file that was moved away into it, and empties the log. The engine itself
// leaves both as they are when the file is not where it was opened (SQLITE_FCNTL_HAS_MOVED).
func (l *lite) settleMoved() error {
	select {
	case s := <-l.writes:
		defer func() { l.writes <- s }()
		if s.conn == nil {
			return nil
		}
		_, err := s.ExecContext(context.Background(), `PRAGMA wal_checkpoint(TRUNCATE)`)
		return err
	case <-time.After(l.opt.Patience):
		return engine.Closed
	}
}

// disconnect closes the connections that are idle.
func (l *lite) disconnect() error {
	var errs []error
	for _, db := range []*sql.DB{l.reader, l.writer} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	l.reader, l.writer = nil, nil
	return errors.Join(errs...)
}

// damagedAt turns what kept a file from being opened into a fault that says that it is damaged, unless the reason is
// another: it is busy, full, may not be written, or a newer program made it.
func damagedAt(path string, err error) error {
	var failed *modernc.Error
	if fault.CodeOf(err) != fault.Internal || !errors.As(err, &failed) {
		return err
	}
	switch failed.Code() & 0xff {
	case 1, 11, 19, 26: // ERROR: what the migrations meet is not what they left
		return fault.New(fault.Refused, "the file is damaged").At("%s", path).ToMend("restore a copy to a new place").Because(errors.Join(studio.ErrDamaged, err))
	}
	return err
}
