package watch

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"runtime"
	"strings"
	"syscall"

	"solander/fault"
)

// Told is what may be said of an error in a log: codes, kinds and words that stand in the program, of each error in its tree, outermost first.
// What was put into an error while the program ran (a name, an address, what was typed) is left out: of a fault its form is told, with the
// places where that stood.
func Told(err error) string {
	var parts []string
	tell(err, &parts, 0)
	return strings.Join(parts, ": ")
}

// deepest bounds how far the tree of an error is followed.
const deepest = 12

func tell(err error, parts *[]string, depth int) {
	if err == nil || depth > deepest {
		return
	}
	if text := self(err); text != "" {
		*parts = append(*parts, text)
	}
	switch u := err.(type) {
	case interface{ Unwrap() []error }:
		for _, e := range u.Unwrap() {
			tell(e, parts, depth+1)
		}
	case interface{ Unwrap() error }:
		tell(u.Unwrap(), parts, depth+1)
	}
}

// self is what may be said of one error by itself; "" of one that only holds others.
func self(err error) string {
	switch e := err.(type) {
	case *fault.Error:
		if e.Form() == "" {
			return string(e.Code)
		}
		return string(e.Code) + " (" + e.Form() + ")"
	case syscall.Errno, runtime.Error:
		return e.Error()
	case *fs.PathError:
		return e.Op
	case *os.LinkError:
		return e.Op
	case *os.SyscallError:
		return e.Syscall
	case *net.OpError:
		return e.Op + " " + e.Net
	case interface{ SQLState() string }:
		return "SQLSTATE " + e.SQLState()
	case interface{ Code() int }: // SQLite's
		return fmt.Sprintf("%T %d", err, e.Code())
	}
	for _, known := range plain {
		if err == known {
			return known.Error()
		}
	}
	switch err.(type) {
	case interface{ Unwrap() []error }, interface{ Unwrap() error }:
		return "" // its words may be made of anything, and what it holds is told
	}
	return fmt.Sprintf("%T", err)
}

// plain are errors whose words stand in the standard library. The words of others may be made of anything, also those of fmt.Errorf, which are of
// the same type as those of errors.New.
var plain = []error{
	context.Canceled, context.DeadlineExceeded, io.EOF, io.ErrUnexpectedEOF, io.ErrClosedPipe, io.ErrShortWrite, net.ErrClosed, fs.ErrNotExist, fs.ErrExist, fs.ErrPermission, fs.ErrClosed,
	os.ErrDeadlineExceeded, http.ErrAbortHandler, http.ErrBodyReadAfterClose, http.ErrHandlerTimeout, http.ErrServerClosed, sql.ErrNoRows, sql.ErrTxDone, sql.ErrConnDone, driver.ErrBadConn,
}
