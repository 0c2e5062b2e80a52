package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"solander/fault"
	"solander/store/engine"
)

// prepareFile looks at the place before anything is changed: a file must be there, or may be made, readable
// by its owner alone. It reports whether it made one. What the file holds is looked at by openMain.
func prepareFile(ctx context.Context, path string, opt engine.Options, replacing bool) (made bool, err error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := mayBegin(path, "missing", opt.There, replacing); err != nil {
			if now, there := os.Stat(path); there == nil && now.Size() > 0 {
				return false, nil // another program has made it meanwhile, and what lies beside it is its own
			}
			return false, err
		}
		return makeFile(ctx, path)
	case err != nil:
		return false, noFile(path, err)
	case !info.Mode().IsRegular():
		return false, fault.New(fault.Refused, "this is no file").At("%s", path).ToMend("name a file, such as %s", filepath.Join(path, "studio.db"))
	case info.Size() == 0:
		if err := mayBegin(path, "empty", opt.There, replacing); err != nil {
			return false, err
		}
		return markFile(ctx, path)
	}
	return false, nil
}

// makeFile makes the file beside its place and puts it there whole, so that none that is half made is
// ever found there. It reports false when another program was quicker.
func makeFile(ctx context.Context, path string) (made bool, err error) {
	next, err := beside(path)
	if err != nil {
		return false, err
	}
	defer os.Remove(next)
	if _, err := markFile(ctx, next); err != nil {
		return false, err
	}
	err = putThere(next, path)
	if errors.Is(err, fs.ErrExist) {
		return false, nil
	}
	return err == nil, err
}

// putThere moves a file to a place where none must be; fs.ErrExist when one is.
func putThere(from, to string) error {
	err := os.Link(from, to)
	if errors.Is(err, fs.ErrExist) {
		return err
	}
	if err != nil { // a file system without links
		err = os.Rename(from, to)
	}
	if err != nil {
		return noFile(to, err)
	}
	return nil
}

// NewPrefix begins the name of a file that is still being made; the number of its process follows.
const NewPrefix = ".new-studio-"

// beside makes an empty file in the folder of a path, and clears what killed programs left of such files.
func beside(path string) (string, error) {
	folder := filepath.Dir(path)
	clearRemains(folder)
	f, err := os.CreateTemp(folder, fmt.Sprintf("%s%d-*", NewPrefix, os.Getpid()))
	if errors.Is(err, fs.ErrNotExist) {
		return "", fault.New(fault.Missing, "the folder does not exist").At("%s", folder).ToMend("make the folder first").Because(err)
	}
	if err != nil {
		return "", noFile(path, err)
	}
	return f.Name(), f.Close()
}

// clearRemains removes the files that programs were making when they were killed. A file whose program
// still runs is left alone. What cannot be removed stays for the next time.
func clearRemains(folder string) {
	found, _ := filepath.Glob(filepath.Join(folder, NewPrefix+"*")) // the pattern is well formed
	for _, path := range found {
		number, _, _ := strings.Cut(strings.TrimPrefix(filepath.Base(path), NewPrefix), "-")
		if pid, err := strconv.Atoi(number); err == nil && !running(pid) {
			os.Remove(path)
		}
	}
}

func noFile(path string, err error) *fault.Error {
	if errors.Is(err, syscall.EIO) {
		return fault.New(fault.Refused, "the disk failed at the file").At("%s", path).
			ToMend("do it again; if it stays so, look whether the disk fails, and carry the studio, or its latest copy, to another one").Because(err)
	}
	return fault.New(fault.Refused, "the file cannot be opened").At("%s", path).ToMend("look at its permissions").Because(err)
}

// markFile writes the studio's mark and an id of its own into an empty file. It reports false when another
// program has done so already.
func markFile(ctx context.Context, path string) (made bool, err error) {
	db, err := sql.Open("sqlite", dsn(path, url.Values{"mode": {"rw"}, "_pragma": {"busy_timeout(5000)"}, "_txlock": {"immediate"}}))
	if err != nil {
		return false, err
	}
	defer db.Close()
	err = inOne(ctx, db, func(tx *sql.Tx) error {
		var mark int64
		if err := tx.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&mark); err != nil || mark == ApplicationID {
			return err
		}
		made = true
		if _, err := tx.ExecContext(ctx, giveID()); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, fmt.Sprintf(`PRAGMA application_id = %d`, ApplicationID))
		return err
	})
	if err != nil {
		return false, engine.When(noFile(path, err), engine.Full, engine.NoRoom)
	}
	return made, nil
}

// inOne runs f in one transaction.
func inOne(ctx context.Context, db *sql.DB, f func(*sql.Tx) error) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := f(tx); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return tx.Commit()
}

// giveID makes the statement that gives a file an id by chance: 31 bits, never 0.
func giveID() string { return fmt.Sprintf("PRAGMA user_version = %d", 1+rand.Int32N(math.MaxInt32)) }

// Make fills a new file at a path: beside it first, then it is put there whole. When fill fails, or the
// program is killed, nothing is there. A file that is there already is given to fill as it is. Whoever
// makes a studio at a path takes leave of the one that stood there before: its seal is replaced.
// Faults: Taken when another program was quicker; fill's own.
func Make(path string, there bool, fill func(path string) error) error {
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return fill(path)
	}
	if err := mayBegin(path, "missing", there, true); err != nil {
		return err
	}
	next, err := beside(path)
	if err != nil {
		return err
	}
	defer removeFiles(next)
	if err := fill(next); err != nil {
		return err
	}
	if err := errors.Join(syncFile(next), putThere(next, path)); errors.Is(err, fs.ErrExist) {
		return fault.New(fault.Taken, "another program made a studio there meanwhile").At("%s", path).ToMend("look at that one, or choose another place")
	} else if err != nil {
		return err
	}
	if err := os.Rename(next+SealTail, path+SealTail); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return noFile(path+SealTail, err)
	}
	return syncNames(filepath.Dir(path))
}

// removeFiles removes a file of our own and all that stand beside it under its name.
func removeFiles(path string) {
	for _, tail := range []string{"", "-wal", "-shm", "-journal", SealTail} {
		os.Remove(path + tail) // what was never made is not there
	}
}

// syncFile waits until a file is on the disk. It is opened for writing: Windows lets nobody else ask for that.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return noFile(path, err)
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncNames waits until the names in a folder are on the disk. Where the system cannot sync a folder, they are left to it.
func syncNames(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return noFile(folder, err)
	}
	defer f.Close()
	_ = f.Sync()
	return nil
}
