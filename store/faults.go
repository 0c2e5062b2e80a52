package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"io"
	"net"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"

	"solander/fault"
	"solander/studio"
)

// cause is what a database refused, told by its driver's code, never by its words.
type cause int

const (
	other      cause = iota
	unique           // a unique index or primary key
	foreign          // a foreign key
	trigger          // a trigger of ours
	check            // a CHECK, or a column that is to hold something else
	serial           // the transaction lost against another; it may run again
	busy             // a lock was not to be had
	badText          // text that the engine cannot hold
	full             // no room left
	corrupt          // the file is damaged, or no database
	unwritable       // the file, or what the engine needs beside it, cannot be opened for writing
	connection       // the engine is away, or went away before it was asked to commit
)

// ioWrite is SQLITE_IOERR_WRITE.
const ioWrite = 778

// Source: SQLite result codes, sqlite.org/rescode.html.
var sqliteCauses = map[int]cause{
	2067: unique, 1555: unique, 2579: unique, 787: foreign, 1811: trigger, 275: check, 1299: check, 3091: check, 13: full,
	ioWrite: full, 4874: full, // a write that the disk or a limit refuses: SQLITE_IOERR_WRITE, SQLITE_IOERR_SHMSIZE
	11: corrupt, 26: corrupt, 267: corrupt, 779: corrupt,
	14: unwritable, 8: unwritable, 264: unwritable, 520: unwritable, 776: unwritable, 1032: unwritable, 1288: unwritable, 1544: unwritable,
}

// Source: PostgreSQL manual, appendix A; 53300 is a server that takes no more connections. SL001 is raised by the triggers of our migrations.
var postgresCauses = map[string]cause{
	"23505": unique, "23503": foreign, "SL001": trigger, "23514": check, "23502": check,
	"40001": serial, "40P01": serial, "55P03": busy, "22021": badText, "22P05": badText, "53100": full,
	"57P01": connection, "57P02": connection, "57P03": connection, "53300": connection,
	"08000": connection, "08001": connection, "08003": connection, "08004": connection, "08006": connection,
}

func causeOf(err error) cause {
	var lite *sqlite.Error
	if errors.As(err, &lite) {
		if c := lite.Code() & 0xff; c == 5 || c == 6 { // SQLITE_BUSY, SQLITE_LOCKED
			return busy
		}
		return sqliteCauses[lite.Code()]
	}
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return postgresCauses[pg.Code]
	}
	var connect *pgconn.ConnectError
	var network *net.OpError
	if errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) || pgconn.SafeToRetry(err) {
		return connection
	}
	return other
}

// retriable reports whether a transaction that failed so before its commit may run again.
func retriable(err error) bool {
	switch causeOf(err) {
	case serial, busy, connection:
		return true
	}
	return false
}

// keptNothing reports whether a commit that failed surely kept nothing. Of any other nobody knows: the
// engine may have gone away before or after it was done, or a file may hold it although the disk said no.
//
// Sources, from memory: SQLite result codes, sqlite.org/rescode.html: a commit that is BUSY, LOCKED, FULL, READONLY
// or against a CONSTRAINT is not made; nor is one of which a page could not be written into the log (IOERR_WRITE), for the
// page that ends a commit is written last; after another IOERR the log may hold it whole, and a later start would find
// it there. PostgreSQL manual, message severities: an ERROR ends the transaction, a FATAL the session, which may be
// after the transaction was done. What the driver calls safe to retry is not believed: a connection that
// ends while COMMIT waits for its answer is called so, too.
func keptNothing(err error) bool {
	var lite *sqlite.Error
	if errors.As(err, &lite) {
		if lite.Code() == ioWrite {
			return true
		}
		switch lite.Code() & 0xff {
		case 1, 5, 6, 8, 11, 13, 19, 26: // ERROR is that there is no transaction any more
			return true
		}
		return false
	}
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.SeverityUnlocalized == "ERROR"
	}
	return errors.Is(err, pgx.ErrTxCommitRollback) || errors.Is(err, sql.ErrTxDone)
}

// away is what is said while the engine cannot be asked. It names no place: whoever calls may see it.
func away(err error) *fault.Error {
	return fault.New(fault.Busy, "the database server does not answer").ToMend("try again in a moment; if it stays so, look whether it runs and may be reached").Because(err)
}

// late is what is said when the time of a transaction was over before the store had answered. Other ends of a context,
// such as a caller that left, stay what they are.
func late(err error) error {
	if fault.CodeOf(err) != fault.Internal || !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return fault.New(fault.Busy, "the store did not answer in time").ToMend("try again in a moment").Because(err)
}

// damagedAt turns what kept a file from being opened into a fault that says that it is damaged, unless the reason is
// another: it is busy, full, may not be written, or a newer program made it.
func damagedAt(path string, err error) error {
	var lite *sqlite.Error
	if fault.CodeOf(err) != fault.Internal || !errors.As(err, &lite) {
		return err
	}
	switch lite.Code() & 0xff {
	case 1, 11, 19, 26: // ERROR: what the migrations meet is not what they left
		return fault.New(fault.Refused, "the file is damaged").At("%s", path).ToMend("restore a copy to a new place").Because(errors.Join(studio.ErrDamaged, err))
	}
	return err
}

// told turns what ended a transaction into what can be said of it; what is a fault already stays as it is.
func (t *tx) told(err error) error {
	if err == nil || fault.CodeOf(err) != fault.Internal {
		return err
	}
	switch {
	case t.failed != nil && errors.Is(t.ctx.Err(), context.DeadlineExceeded):
		return late(errors.Join(t.ctx.Err(), err)) // a statement that was stopped has a word of its own for it
	case causeOf(t.failed) == connection:
		return away(err)
	case causeOf(t.failed) == corrupt, errors.Is(err, studio.ErrDamaged):
		return fault.New(fault.Refused, "the file of the studio is damaged").ToMend("run check, and restore the latest copy to a new place").Because(errors.Join(studio.ErrDamaged, err))
	}
	return err
}

// when turns err into f when the engine refused for that cause; any other error stays as it is.
func when(err error, c cause, f *fault.Error) error {
	if err != nil && causeOf(err) == c {
		return f.Because(err)
	}
	return err
}

var errNoRoom = fault.New(fault.Refused, "there is no room left where the store is").
	ToMend("free some space, or look whether the disk fails or a limit is set for this user; then do it again: nothing was changed")

func missing(what string, args ...any) *fault.Error {
	return fault.New(fault.Missing, what+" does not exist", args...).ToMend("look at the list and choose one that is there")
}
