package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"solander/fault"
)

// applicationID stands in the header of a studio's file: "Sold".
const applicationID = 0x536f6c64

// lite is SQLite: one connection that writes, a few that read.
type lite struct {
	path           string
	writer, reader *sql.DB
	writes, reads  chan *slot // idle connections
	patience       time.Duration
	closed         atomic.Bool
}

// slot is a connection with its prepared statements.
type slot struct {
	db    *sql.DB
	conn  *sql.Conn
	stmts map[string]*sql.Stmt
}

func openSQLite(ctx context.Context, place string, opt Options) (engine, error) {
	path, err := sqlitePath(place)
	if err != nil {
		return nil, err
	}
	if err := prepareFile(ctx, path); err != nil {
		return nil, err
	}
	synchronous := "synchronous(FULL)"
	if opt.Hasty {
		synchronous = "synchronous(OFF)"
	}
	pragmas := []string{fmt.Sprintf("busy_timeout(%d)", opt.lockWait()), "foreign_keys(1)", synchronous, "trusted_schema(0)"}
	l := &lite{path: path, writes: make(chan *slot, 1), reads: make(chan *slot, opt.Readers), patience: opt.Patience}
	l.writer, err = sql.Open("sqlite", sqliteDSN(path, url.Values{"_pragma": append(pragmas, "journal_mode(WAL)", "cache_size(-6000)")}))
	if err != nil {
		return nil, err
	}
	l.writer.SetMaxOpenConns(1)
	if err := migrate(ctx, l.writer, liteMigrations); err != nil {
		l.writer.Close()
		return nil, damagedAt(path, err)
	}
	l.reader, err = sql.Open("sqlite", sqliteDSN(path, url.Values{"_pragma": append(pragmas, "query_only(1)", "cache_size(-2000)")}))
	if err != nil {
		return nil, errors.Join(err, l.writer.Close())
	}
	l.writes <- &slot{db: l.writer}
	for range opt.Readers {
		l.reads <- &slot{db: l.reader}
	}
	return l, nil
}

// prepareFile looks at the file before anything is changed: it must be a studio's, or not be there, or
// be empty; then it is made, readable by its owner alone.
func prepareFile(ctx context.Context, path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return makeFile(ctx, path)
	case err != nil:
		return noFile(path, err)
	case !info.Mode().IsRegular():
		return fault.New(fault.Refused, "this is no file").At("%s", path).ToMend("name a file, such as %s", filepath.Join(path, "studio.db"))
	case info.Size() == 0:
		return markFile(ctx, path)
	}
	return knownFile(path)
}

// makeFile makes the file beside its place and puts it there whole, so that none that is half made is
// ever found there.
func makeFile(ctx context.Context, path string) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".new-studio-*")
	if errors.Is(err, fs.ErrNotExist) {
		return fault.New(fault.Missing, "the folder does not exist").At("%s", filepath.Dir(path)).ToMend("make the folder first").Because(err)
	}
	if err != nil {
		return noFile(path, err)
	}
	defer os.Remove(f.Name())
	if err := f.Close(); err != nil {
		return noFile(path, err)
	}
	if err := markFile(ctx, f.Name()); err != nil {
		return err
	}
	err = os.Link(f.Name(), path)
	switch {
	case errors.Is(err, fs.ErrExist): // another program was quicker
		return knownFile(path)
	case err != nil: // a file system without links
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return noFile(path, err)
	}
	return nil
}

func noFile(path string, err error) *fault.Error {
	return fault.New(fault.Refused, "the file cannot be opened").At("%s", path).ToMend("look at its permissions").Because(err)
}

// markFile writes the studio's mark into a new file.
func markFile(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", sqliteDSN(path, url.Values{"mode": {"rw"}, "_pragma": {"busy_timeout(5000)"}}))
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return noFile(path, err)
	}
	return nil
}

// knownFile refuses a file that is no database of a studio. It reads the head of the file alone, where
// markFile left its mark, so that not even the log of another program's database is touched.
// Source: SQLite file format, sqlite.org/fileformat2.html, 1.3: magic at 0, application id at 68.
func knownFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return noFile(path, err)
	}
	defer f.Close()
	head := make([]byte, 72)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return noFile(path, err)
	}
	if n < len(head) || string(head[:16]) != "SQLite format 3\x00" || binary.BigEndian.Uint32(head[68:]) != applicationID {
		return fault.New(fault.Refused, "this file is no studio of this program").At("%s", path).
			ToMend("name another file; this one was left as it is")
	}
	return nil
}

func (l *lite) begin(ctx context.Context, write bool) (session, error) {
	free, how := l.reads, "BEGIN"
	if write {
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
		return nil, errClosed
	}
	sess, err := s.begin(ctx, how, func() { free <- s })
	if err != nil {
		free <- s
		return nil, err
	}
	return sess, nil
}

func (s *slot) begin(ctx context.Context, how string, free func()) (session, error) {
	if s.conn == nil {
		conn, err := s.db.Conn(ctx)
		if err != nil {
			return nil, err
		}
		s.conn, s.stmts = conn, make(map[string]*sql.Stmt)
	}
	if _, err := s.ExecContext(ctx, how); err != nil {
		if causeOf(err) != busy {
			s.drop()
		}
		return nil, err
	}
	return &liteSession{slot: s, free: free}, nil
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
	s.conn, s.stmts = nil, nil
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
	st, err := s.conn.PrepareContext(ctx, query)
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

// liteSession is a transaction on a slot.
type liteSession struct {
	*slot
	free func()
}

// commit does not stop half way when ctx ends: what it answers is what happened.
func (l *liteSession) commit(ctx context.Context) error {
	_, err := l.ExecContext(context.WithoutCancel(ctx), "COMMIT")
	if err != nil {
		l.rollback()
		return err
	}
	l.free()
	return nil
}

func (l *liteSession) rollback() {
	if _, err := l.ExecContext(context.Background(), "ROLLBACK"); err != nil {
		l.drop()
	}
	l.free()
}

func (l *lite) dialect() dialect {
	return dialect{
		rowID: "rowid", query: liteQuery,
		orders: searchSQL{
			put:   `INSERT OR REPLACE INTO order_words (rowid, words) VALUES ($1, $2)`,
			from:  `order_words CROSS JOIN orders r ON r.id = order_words.rowid`,
			match: `order_words MATCH $1`, id: `order_words.rowid`,
		},
		buyers: searchSQL{
			put:   `INSERT OR REPLACE INTO buyer_words (rowid, words) VALUES ($1, $2)`,
			from:  `buyer_words CROSS JOIN buyers r ON r.id = buyer_words.rowid`,
			match: `buyer_words MATCH $1`, id: `buyer_words.rowid`,
		},
	}
}

// liteQuery makes a full-text query: every term, each a word or the beginning of one. Terms hold
// letters and digits only.
func liteQuery(terms []term) string {
	var out []string
	for _, t := range terms {
		q := `"` + t.word + `"`
		if !t.whole {
			q += "*"
		}
		out = append(out, q)
	}
	return strings.Join(out, " AND ")
}

func (l *lite) settled(context.Context) {}

func (l *lite) place() string { return "SQLite file " + l.path }

// close waits a while for the transactions that are running, and closes every connection: the last one
// writes the log back into the file.
func (l *lite) close() error {
	if l.closed.Swap(true) {
		return nil
	}
	timer := time.NewTimer(l.patience)
	defer timer.Stop()
	for _, free := range []chan *slot{l.reads, l.writes} {
		var all []*slot
		for range cap(free) {
			select {
			case s := <-free:
				s.drop()
				all = append(all, s)
			case <-timer.C:
				timer.Reset(0)
			}
		}
		for _, s := range all {
			free <- s // whoever asks for it hears that the store is closed
		}
	}
	return errors.Join(l.reader.Close(), l.writer.Close())
}
