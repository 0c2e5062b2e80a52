package store

import (
	"database/sql/driver"
	"errors"
	"io"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"

	"solander/fault"
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
	connection       // the engine went away before it was asked to commit
)

// Source: SQLite result codes, sqlite.org/rescode.html.
var sqliteCauses = map[int]cause{
	2067: unique, 1555: unique, 2579: unique, 787: foreign, 1811: trigger, 275: check, 1299: check, 3091: check, 13: full,
	778: full, 4874: full, // a write that the disk or a limit refuses: SQLITE_IOERR_WRITE, SQLITE_IOERR_SHMSIZE
	11: corrupt, 26: corrupt, 267: corrupt, 779: corrupt,
	14: unwritable, 8: unwritable, 264: unwritable, 520: unwritable, 776: unwritable, 1032: unwritable, 1288: unwritable, 1544: unwritable,
}

// Source: PostgreSQL manual, appendix A. SL001 is raised by the triggers of our migrations.
var postgresCauses = map[string]cause{
	"23505": unique, "23503": foreign, "SL001": trigger, "23514": check, "23502": check,
	"40001": serial, "40P01": serial, "55P03": busy, "22021": badText, "22P05": badText, "53100": full,
	"57P01": connection, "57P02": connection, "57P03": connection,
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
	if errors.As(err, &connect) || errors.Is(err, driver.ErrBadConn) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) || pgconn.SafeToRetry(err) {
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

// retriableCommit reports whether a failed commit surely kept nothing and may run again. When the
// engine went away during it, nobody knows, and it must not.
func retriableCommit(err error) bool {
	c := causeOf(err)
	return c == serial || c == busy
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
