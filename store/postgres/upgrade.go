package postgres

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"time"

	"solander/fault"
	"solander/store/engine"
	"solander/store/migrations"
	"solander/store/upgrade"
)

// turn takes the writer's place as soon as it is free: of programs that are started together one makes the store, or brings it up to date, and the
// others wait for that longer than one statement would.
func (p *postgres) turn(ctx context.Context) (engine.Session, error) {
	for end := time.Now().Add(p.opt.Patience); ; {
		sess, err := p.Begin(ctx, true)
		if err == nil || engine.CauseOf(err) != engine.Busy || ctx.Err() != nil || !time.Now().Before(end) {
			return sess, err
		}
	}
}

// upgrade makes the steps that are due, the copy before them included, in one transaction that has the writer's place.
// Faults: Busy when another program keeps the store for longer than a write waits for its turn; Refused.
func (p *postgres) upgrade(ctx context.Context) error {
	sess, err := p.turn(ctx)
	if err != nil {
		return engine.When(err, engine.Busy, fault.New(fault.Busy, "another program makes or writes this store").At("%s", p.where).ToMend("try again"))
	}
	standing := true // nothing of it is kept
	var copied string
	defer func() {
		if !standing {
			return
		}
		sess.Rollback()
		if copied != "" {
			os.Remove(copied)
		}
	}()
	if _, err := p.known(ctx, sess); err != nil {
		return err
	}
	have, want, err := migrations.Postgres.Due(ctx, sess, p.where)
	if err != nil || have == want {
		return err
	}
	if have > 0 {
		if copied, err = p.copyBefore(ctx, sess, have); err != nil {
			return upgrade.NoCopy(p.opt.Copies, err)
		}
	}
	if err := migrations.Postgres.Run(ctx, sess, have, want); err != nil {
		return upgrade.NoUpgrade(p.where, have, err)
	}
	standing = false
	if err := sess.Commit(ctx); err != nil {
		return err // the copy stays: it may be that the upgrade stands
	}
	if have > 0 {
		p.upgraded = engine.Upgrade{From: have, To: want, Copy: copied}
		upgrade.Forget(p.opt.Copies, p.base, copyTail, copied)
	}
	return nil
}

// copyTail ends the name of a copy in the studio's own form.
const copyTail = ".copy"

// plain are the signs that may stand in the name of a file on every system.
var plain = regexp.MustCompile(`[^A-Za-z0-9_-]+`)

// copyBefore writes a copy in the studio's own form, in the tables of its older one, reads it back and returns where it is.
// Faults: Refused when there is no folder for it.
func (p *postgres) copyBefore(ctx context.Context, sess engine.Session, form int64) (string, error) {
	if p.opt.Copies == "" {
		return "", fault.New(fault.Refused, "the studio is to be brought up to date, and there is no folder for the copy that is made before; nothing was changed").At("%s", p.where).
			ToMend("set HOME, or XDG_DATA_HOME, for the user who runs this program")
	}
	if err := os.MkdirAll(p.opt.Copies, 0o700); err != nil {
		return "", err
	}
	next, err := os.CreateTemp(p.opt.Copies, ".new-copy-*")
	if err != nil {
		return "", err
	}
	defer os.Remove(next.Name()) // gone once it has its name
	wrote, err := p.copyOut.Write(ctx, sess, p.opt, form, next)
	if err := errors.Join(err, next.Sync(), next.Close()); err != nil {
		return "", err
	}
	if err := p.readBack(next.Name(), form, wrote); err != nil {
		return "", err
	}
	for at := p.opt.Clock(); ; at = at.Add(time.Second) { // there may have been another within the second
		to := filepath.Join(p.opt.Copies, upgrade.Name(p.base, form, at, copyTail))
		if _, err := os.Stat(to); errors.Is(err, fs.ErrNotExist) {
			return to, os.Rename(next.Name(), to)
		} else if err != nil {
			return "", err
		}
	}
}

// readBack reads a copy to its end: it must be whole, and hold as many rows as were written.
func (p *postgres) readBack(path string, form int64, wrote map[string]int64) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	got, rows, err := p.copyOut.Read(f)
	switch {
	case err != nil:
		return errors.New("the copy cannot be read back: " + err.Error()) // not the fault of whoever opens the studio
	case got != form || !maps.Equal(rows, wrote):
		return errors.New("the copy does not hold what the studio does")
	}
	return nil
}

// Upgraded is what was done to the studio when it was opened.
func (p *postgres) Upgraded() engine.Upgrade { return p.upgraded }
