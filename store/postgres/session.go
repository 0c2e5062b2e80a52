package postgres

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
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
	risen    bool // the write was counted
	soon     []engine.Ask
	soonArgs int // of all of them
	ahead    []asked
	memory   *sql.DB // reads answers
}

func (s *pgSession) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	s.wrote, s.ahead = true, nil
	if len(s.soon) == 0 {
		return s.Tx.ExecContext(ctx, query, args...)
	}
	answers, err := s.together(ctx, engine.Ask{Query: query, Args: args})
	if err != nil {
		return nil, err
	}
	return answers[0], nil
}

func (s *pgSession) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	known := s.known(engine.Ask{Query: query, Args: args})
	if !strings.HasPrefix(query, "SELECT") { // UPDATE … RETURNING
		s.wrote, s.ahead = true, nil
	}
	if known == nil && len(s.soon) > 0 {
		answers, err := s.together(ctx, engine.Ask{Query: query, Args: args})
		if err != nil {
			return nil, err
		}
		known = answers[0]
	}
	if known != nil {
		return s.memory.QueryContext(context.WithoutCancel(ctx), query, known)
	}
	return s.Tx.QueryContext(ctx, query, args...)
}

// rise counts the write, and lets those hear of it who listen; they do when it is done, and only then.
const rise = `WITH risen AS (UPDATE high_water SET writes = writes + 1 RETURNING writes)
	SELECT pg_notify(` + channel + `, CAST(writes AS TEXT)) FROM risen`

// Commit does not stop half way when ctx ends: what it answers is what happened.
func (s *pgSession) Commit(ctx context.Context) error {
	if err := s.Finish(context.WithoutCancel(ctx)); err != nil {
		s.Rollback()
		return engine.BeforeCommit(err)
	}
	return s.end(s.Tx.Commit)
}

// Finish runs what was put off, and counts the write with it. A server that stays silent then is waited for as long as patience.
func (s *pgSession) Finish(ctx context.Context) error {
	var last []engine.Ask
	if s.writes && s.wrote && !s.risen {
		s.risen, last = true, []engine.Ask{{Query: rise}}
	}
	soon, stop := context.WithTimeout(ctx, s.patience)
	defer stop()
	_, err := s.together(soon, last...)
	if err != nil && soon.Err() != nil && ctx.Err() == nil {
		err = errors.Join(driver.ErrBadConn, err)
	}
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
