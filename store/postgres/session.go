package postgres

import (
	"context"
	"database/sql"
	"strings"
	"time"

	"solander/store/engine"
)

// pgSession is a transaction on a connection of its own. A server that stays silent when it is to end is waited for
// as long as patience, then the connection is cut.
type pgSession struct {
	*sql.Tx
	conn     *sql.Conn
	stop     context.CancelFunc // cuts the connection
	patience time.Duration
	writes   bool // it may write
	wrote    bool // a statement that may change something was run
}

func (s *pgSession) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	s.wrote = true
	return s.Tx.ExecContext(ctx, query, args...)
}

func (s *pgSession) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	s.wrote = s.wrote || !strings.HasPrefix(query, "SELECT") // UPDATE … RETURNING
	return s.Tx.QueryContext(ctx, query, args...)
}

// rise counts the write, and lets those hear of it who listen; they do when it is done, and only then.
const rise = `WITH risen AS (UPDATE high_water SET writes = writes + 1 RETURNING writes)
	SELECT pg_notify(` + channel + `, CAST(writes AS TEXT)) FROM risen`

// Commit does not stop half way when ctx ends: what it answers is what happened.
func (s *pgSession) Commit(ctx context.Context) error {
	if s.writes && s.wrote {
		if err := s.rise(context.WithoutCancel(ctx)); err != nil {
			s.Rollback()
			return engine.BeforeCommit(err)
		}
	}
	return s.end(s.Tx.Commit)
}

func (s *pgSession) rise(ctx context.Context) error {
	timer := time.AfterFunc(s.patience, s.stop)
	defer timer.Stop()
	_, err := s.Tx.ExecContext(ctx, rise)
	return err
}

func (s *pgSession) Rollback() { _ = s.end(s.Tx.Rollback) } // the connection is given up when it fails

func (s *pgSession) end(how func() error) error {
	timer := time.AfterFunc(s.patience, s.stop)
	err := how()
	timer.Stop()
	s.stop()
	_ = s.conn.Close() // one that broke is left out of the pool
	return err
}
