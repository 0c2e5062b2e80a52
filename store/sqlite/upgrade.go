package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"solander/fault"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/store/upgrade"
)

// upgradeWait is how long a start waits for another program that brings the studio up to date.
const upgradeWait = 2 * time.Minute

// upToDate brings the tables to the form that this program knows. Of two programs that open a new or an older studio at once
// the one that comes second waits, and finds the work done.
// Faults: Refused when a newer program made the studio, when there is no copy, and when a step fails; Busy.
func (l *lite) upToDate(ctx context.Context) error {
	deadline := time.Now().Add(upgradeWait)
	for attempt := 0; ; attempt++ {
		err := l.upgrade(ctx)
		switch {
		case engine.CauseOf(err) != engine.Busy:
			return err
		case time.Now().After(deadline):
			return fault.New(fault.Busy, "another program makes the studio, or brings it up to date").At("%s", l.main.given).ToMend("try again in a moment").Because(err)
		}
		if err := engine.Pause(ctx, attempt+4); err != nil {
			return err
		}
	}
}

// notNewer refuses a file that a newer program made, before anything is opened for writing. What cannot be read here is looked at when it is
// opened: only a form that is newer than this program knows ends it.
func (l *lite) notNewer(ctx context.Context, made bool) error {
	if made {
		return nil
	}
	how := url.Values{"immutable": {"1"}} // leaves nothing beside the file
	if LogOf(l.main.path) != "" {
		how = url.Values{"mode": {"ro"}} // the log must be read, too
	}
	db, err := sql.Open("sqlite", dsn(l.main.path, how))
	if err != nil {
		return err
	}
	defer db.Close()
	if _, _, err := migrations.SQLite.Due(ctx, db, l.main.given); fault.Is(err, fault.Refused) {
		return err
	}
	return nil
}

// upgrade makes the steps that are due, the copy before them included, while it alone may write.
func (l *lite) upgrade(ctx context.Context) (err error) {
	if have, want, err := migrations.SQLite.Due(ctx, l.writer, l.main.given); err != nil || have == want {
		return err
	}
	conn, err := l.writer.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	if _, err := conn.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		return err
	}
	var copied string
	standing := true // nothing of it is kept
	defer func() {
		if !standing {
			return
		}
		_, _ = conn.ExecContext(context.WithoutCancel(ctx), "ROLLBACK") // SQLite may have taken it back already
		if copied != "" {
			os.Remove(copied)
		}
	}()
	have, want, err := migrations.SQLite.Due(ctx, conn, l.main.given)
	if err != nil || have == want {
		return err
	}
	if have > 0 {
		if copied, err = l.copyBefore(ctx, have); err != nil {
			return upgrade.NoCopy(filepath.Dir(l.main.path), err)
		}
	}
	if err := migrations.SQLite.Run(ctx, conn, have, want); err != nil {
		return upgrade.NoUpgrade(l.main.given, have, err)
	}
	if _, err := conn.ExecContext(context.WithoutCancel(ctx), "COMMIT"); err != nil {
		standing = engine.KeptNothing(err)
		return upgrade.NoUpgrade(l.main.given, have, err)
	}
	standing = false
	if have > 0 {
		l.upgraded = engine.Upgrade{From: have, To: want, Copy: copied}
		base, tail := l.names()
		upgrade.Forget(filepath.Dir(l.main.path), base, tail, copied)
	}
	return nil
}

// names are the two parts of the file's name between which that of a copy puts its words.
func (l *lite) names() (base, tail string) {
	tail = filepath.Ext(l.main.path)
	return strings.TrimSuffix(l.main.name(), tail), tail
}

// copyBefore makes a copy of the file beside it, whole or not at all, reads it back and returns where it is. It is a studio's file
// itself, so that the older program opens it as it is. The caller holds the writer's place.
func (l *lite) copyBefore(ctx context.Context, form int64) (string, error) {
	next, err := beside(l.main.path)
	if err != nil {
		return "", err
	}
	defer removeFiles(next)
	from, err := sql.Open("sqlite", dsn(l.main.path, url.Values{"_pragma": {fmt.Sprintf("busy_timeout(%d)", l.opt.LockWait())}}))
	if err != nil {
		return "", err
	}
	defer from.Close()
	if _, err := from.ExecContext(ctx, `VACUUM INTO $1`, next); err != nil {
		return "", err
	}
	if err := syncFile(next); err != nil {
		return "", err
	}
	if err := l.readBack(ctx, from, next); err != nil {
		return "", err
	}
	base, tail := l.names()
	at := l.opt.Clock()
	for range 100 { // two upgrades within a second
		to := filepath.Join(filepath.Dir(l.main.path), upgrade.Name(base, form, at, tail))
		err := putThere(next, to)
		if !errors.Is(err, fs.ErrExist) {
			return to, errors.Join(err, syncNames(filepath.Dir(to)))
		}
		at = at.Add(time.Second)
	}
	return "", fs.ErrExist
}

// readBack compares a copy with what it was made of.
func (l *lite) readBack(ctx context.Context, from *sql.DB, path string) error {
	db, err := sql.Open("sqlite", dsn(path, url.Values{"immutable": {"1"}}))
	if err != nil {
		return err
	}
	defer db.Close()
	return upgrade.Same(ctx, db, from)
}

// Upgraded is what was done to the studio when it was opened.
func (l *lite) Upgraded() engine.Upgrade { return l.upgraded }
