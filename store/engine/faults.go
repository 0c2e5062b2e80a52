package engine

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
)

// Cause is what a database refused, told by its driver's code, never by its words.
type Cause int

const (
	Other      Cause = iota
	Unique           // a unique index or primary key
	Foreign          // a foreign key
	Trigger          // a trigger of ours
	Check            // a CHECK, or a column that is to hold something else
	Serial           // the transaction lost against another; it may run again
	Busy             // a lock was not to be had
	BadText          // text that the engine cannot hold
	Full             // no room left
	Corrupt          // the file is damaged, or no database
	Unwritable       // the file, or what the engine needs beside it, cannot be opened for writing
	Connection       // the engine is away, or went away before it was asked to commit
)

// ioWrite is SQLITE_IOERR_WRITE.
const ioWrite = 778

// Source: SQLite result codes, sqlite.org/rescode.html.
var sqliteCauses = map[int]Cause{
	2067: Unique, 1555: Unique, 2579: Unique, 787: Foreign, 1811: Trigger, 275: Check, 1299: Check, 3091: Check, 13: Full,
	ioWrite: Full, 4874: Full, // a write that the disk or a limit refuses: SQLITE_IOERR_WRITE, SQLITE_IOERR_SHMSIZE
	11: Corrupt, 26: Corrupt, 267: Corrupt, 779: Corrupt,
	14: Unwritable, 8: Unwritable, 264: Unwritable, 520: Unwritable, 776: Unwritable, 1032: Unwritable, 1288: Unwritable, 1544: Unwritable,
}

// Source: PostgreSQL manual, appendix A; 53300 is a server that takes no more connections, 08P01 what a pooler says while it has none to it,
// 25006 a server that became a standby or takes no writes for another reason. SL001 is raised by the triggers of our migrations.
var postgresCauses = map[string]Cause{
	"23505": Unique, "23503": Foreign, "SL001": Trigger, "23514": Check, "23502": Check,
	"40001": Serial, "40P01": Serial, "55P03": Busy, "22021": BadText, "22P05": BadText, "53100": Full,
	"57P01": Connection, "57P02": Connection, "57P03": Connection, "53300": Connection,
	"08000": Connection, "08001": Connection, "08003": Connection, "08004": Connection, "08006": Connection, "08P01": Connection,
}

func CauseOf(err error) Cause {
	var lite *sqlite.Error
	if errors.As(err, &lite) {
		if c := lite.Code() & 0xff; c == 5 || c == 6 { // SQLITE_BUSY, SQLITE_LOCKED
			return Busy
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
		return Connection
	}
	return Other
}

// Retriable reports whether a transaction that failed so before its commit may run again.
func Retriable(err error) bool {
	switch CauseOf(err) {
	case Serial, Busy, Connection:
		return true
	}
	return false
}

// BeforeCommit is an error that came before the engine was asked to commit.
func BeforeCommit(err error) error { return &beforeCommit{err} }

type beforeCommit struct{ error }

func (b *beforeCommit) Unwrap() error { return b.error }

// KeptNothing reports whether a commit that failed surely kept nothing. Of any other nobody knows: the
// engine may have gone away before or after it was done, or a file may hold it although the disk said no.
//
// Sources, from memory: SQLite result codes, sqlite.org/rescode.html: a commit that is BUSY, LOCKED, FULL, READONLY
// or against a CONSTRAINT is not made; nor is one of which a page could not be written into the log (IOERR_WRITE), for the
// page that ends a commit is written last; after another IOERR the log may hold it whole, and a later start would find
// it there. PostgreSQL manual, message severities: an ERROR ends the transaction, a FATAL the session, which may be
// after the transaction was done. What the driver calls safe to retry is not believed: a connection that
// ends while COMMIT waits for its answer is called so, too.
func KeptNothing(err error) bool {
	var before *beforeCommit
	if errors.As(err, &before) {
		return true
	}
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

// Away is what is said while the engine cannot be asked. It names no place: whoever calls may see it.
func Away(err error) *fault.Error {
	return fault.New(fault.Busy, "the database server does not answer").ToMend("try again in a moment; if it stays so, look whether it runs and may be reached").Because(err)
}

// Late is what is said when the time of a transaction was over before the store had answered. Other ends of a context,
// such as a caller that left, stay what they are.
func Late(err error) error {
	if fault.CodeOf(err) != fault.Internal || !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return fault.New(fault.Busy, "the store did not answer in time").ToMend("try again in a moment").Because(err)
}

// When turns err into f when the engine refused for that cause; any other error stays as it is.
func When(err error, c Cause, f *fault.Error) error {
	if err != nil && CauseOf(err) == c {
		return f.Because(err)
	}
	return err
}

var NoRoom = fault.New(fault.Refused, "there is no room left where the store is").
	ToMend("free some space, or look whether the disk fails or a limit is set for this user; then do it again: nothing was changed")

func Missing(what string, args ...any) *fault.Error {
	return fault.New(fault.Missing, what+" does not exist", args...).ToMend("look at the list and choose one that is there")
}

// BusyAfter is what is said when a write was tried for too long.
func BusyAfter(err error) error {
	if fault.Is(err, fault.Taken) || fault.Is(err, fault.Refused) {
		return err // the same answer again and again: it is the answer
	}
	if CauseOf(err) == Connection {
		return Away(err)
	}
	return fault.New(fault.Busy, "the store is busy with another write").
		ToMend("try again in a moment").Because(err)
}

// Closed is what a closed store answers.
var Closed = fault.New(fault.Refused, "the store is closed")
