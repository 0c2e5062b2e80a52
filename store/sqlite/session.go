package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"strings"

	"solander/fault"
	"solander/store/engine"
)

// liteSession is a transaction on a slot.
type liteSession struct {
	*slot
	lite   *lite
	free   func()
	writes bool // it may write
	wrote  bool // a statement that may change something was run
}

func (l *liteSession) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	l.wrote = true
	ctx, err := l.between(ctx)
	if err != nil {
		return nil, err
	}
	return l.slot.ExecContext(ctx, query, args...)
}

func (l *liteSession) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	l.wrote = l.wrote || !strings.HasPrefix(query, "SELECT") // UPDATE … RETURNING
	ctx, err := l.between(ctx)
	if err != nil {
		return nil, err
	}
	return l.slot.QueryContext(ctx, query, args...)
}

// Soon runs it at once: no way is shorter than that into the file.
func (l *liteSession) Soon(ctx context.Context, query string, args ...any) error {
	_, err := l.ExecContext(ctx, query, args...)
	return err
}

// Ahead asks nothing: each question is answered when it comes.
func (l *liteSession) Ahead(context.Context, []engine.Ask) error { return nil }

// Finish has nothing to do: the write is counted when it is committed.
func (l *liteSession) Finish(context.Context) error { return nil }

// between is the context of one statement. A transaction that writes is many short ones, and is stopped between two of them:
// to stop one half way the driver starts a goroutine or two for each, which takes about a third as long as the statement itself.
// One that reads may ask for much at once, and is stopped at any time.
func (l *liteSession) between(ctx context.Context) (context.Context, error) {
	if !l.writes {
		return ctx, nil
	}
	return context.WithoutCancel(ctx), ctx.Err()
}

// Commit does not stop half way when ctx ends: what it answers is what happened. Before it commits it
// looks whether the files are still those that were opened; after it, once more, because a commit into a
// file that was taken away meanwhile is none. The seal is put before the writer hears of its commit.
func (l *liteSession) Commit(ctx context.Context) error {
	ctx = context.WithoutCancel(ctx)
	var high Seal
	var err error
	if l.wrote {
		high, err = l.rise(ctx)
	}
	if err == nil {
		err = l.same()
	}
	asked := err == nil
	if asked {
		_, err = l.slot.ExecContext(ctx, "COMMIT")
	}
	if err != nil {
		l.Rollback()
		if asked && !engine.KeptNothing(err) {
			return err
		}
		return engine.When(err, engine.Full, engine.NoRoom)
	}
	defer l.free()
	if !l.wrote || l.lite.seal == nil {
		return nil
	}
	l.lite.seal.put(high)
	l.lite.keeper.wake()
	if err := l.same(); err != nil {
		return fault.New(fault.Refused, "the studio's file was taken away while this was written, and what was written went with it").
			At("%s", l.lite.main.given).ToMend("stop the program, put the file back or restore the latest backup, then look whether this is in it").Because(err)
	}
	return nil
}

// rise counts the write within its transaction.
func (l *liteSession) rise(ctx context.Context) (high Seal, err error) {
	high = Seal{Studio: l.lite.main.id, At: stamp(l.lite.opt.Clock())}
	rows, err := l.slot.QueryContext(ctx, rise)
	if err != nil {
		return high, err
	}
	defer rows.Close()
	if !rows.Next() {
		return high, errors.Join(rows.Err(), errUncounted)
	}
	return high, errors.Join(high.scan(rows), rows.Close())
}

var errUncounted = fault.New(fault.Refused, "the count of the writes is gone from the file").ToMend("restore the latest backup to a new place")

// same refuses when the file, its log or the index of the log is not any more the one that was opened.
func (l *liteSession) same() error {
	if err := l.lite.main.same(); err != nil {
		return err
	}
	for i, tail := range besides {
		now, err := look(l.lite.main.path + tail)
		if err != nil || l.beside[i] != nil && !os.SameFile(now, l.beside[i]) {
			return takenAway(l.lite.main.given, "what belongs to the studio's file, "+l.lite.main.name()+tail+", was taken away while it was open").Because(err)
		}
		l.beside[i] = now
	}
	return nil
}

func (l *liteSession) Rollback() {
	if _, err := l.slot.ExecContext(context.Background(), "ROLLBACK"); err != nil {
		l.drop()
	}
	l.free()
}

// besides are the files that stand beside the main one while a transaction writes: the log, and its index.
// Source: sqlite.org/walformat.html, 1.
var besides = [2]string{"-wal", "-shm"}
