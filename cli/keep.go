package cli

import (
	"errors"
	"fmt"
	"io"
	"os"

	"solander/studio"
)

type backupCmd struct {
	File  string `arg:"" help:"File to write (- is the output stream)."`
	Force bool   `help:"Replace the file when it exists."`
}

func (backupCmd) Help() string { return "Example:\n\n  solander backup studio-2026-04-14.copy" }

func (c *backupCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if err := d.toFile(c.File, c.Force, func(w io.Writer) error { return st.Backup(d.ctx, w) }); err != nil {
		return err
	}
	if c.File == "-" {
		return nil
	}
	return d.say(map[string]string{"written": c.File}, "written: %s", c.File)
}

type restoreCmd struct {
	File string `arg:"" help:"A copy, or the folder or ZIP of an export (- is a copy on the input stream)."`
}

func (restoreCmd) Help() string {
	return "The place must be empty or not there yet.\n\nExample:\n\n  solander restore studio-2026-04-14.copy --store ~/restored/studio.db"
}

func (c *restoreCmd) Run(d *desk) error {
	restore, end, err := d.restoreFrom(c.File)
	if err != nil {
		return err
	}
	defer end()
	place, err := d.placeOf()
	if err != nil {
		return err
	}
	made := newPlace(place)
	st, err := d.begin()
	if err != nil {
		return err
	}
	if err := restore(st); err != nil {
		return errors.Join(err, d.close(), made.undo())
	}
	return d.say(map[string]string{"restored": d.store.Place()}, "restored: %s", d.store.Place())
}

// placed remembers whether a database file was there before, so that a failed command can leave none.
type placed struct {
	path string
	was  bool
}

func newPlace(path string) placed {
	_, err := os.Stat(path)
	return placed{path, err == nil || isServer(path)}
}

// undo removes a database that the failed command made, with the files that stand beside it.
func (p placed) undo() error {
	if p.was {
		return nil
	}
	var errs []error
	for _, tail := range []string{"", "-wal", "-shm", "-journal"} {
		if err := os.Remove(p.path + tail); err != nil && !errors.Is(err, os.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

type checkCmd struct{}

func (checkCmd) Help() string {
	return "Returns 1 when something is wrong.\n\nExample:\n\n  solander check --json"
}

// errFindings says that check, or the trial of a file, ran and found something, or find nothing: it is shown already.
var errFindings = errors.New("something wrong was found")

func (c *checkCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	found, err := st.Check(d.ctx)
	if err != nil {
		return err
	}
	if found == nil {
		found = []studio.Finding{}
	}
	err = d.show(found, func(w io.Writer) {
		if len(found) == 0 {
			fmt.Fprintln(w, "database, register and stock are sound")
		}
		for _, f := range found {
			fmt.Fprintf(w, "%s: %s\n", f.Where, f.What)
			if f.Mend != "" {
				fmt.Fprintf(w, "  hint: %s\n", f.Mend)
			}
		}
	})
	if err == nil && len(found) > 0 {
		return errFindings
	}
	return err
}

type versionCmd struct{}

func (versionCmd) Help() string { return "Example:\n\n  solander version" }

func (c *versionCmd) Run(d *desk) error {
	b := d.env.Version()
	return d.show(b, func(w io.Writer) {
		fmt.Fprintf(w, "solander %s (%s)\n", b.Version, b.Go)
		if b.Revision != "" {
			changed := ""
			if b.Modified {
				changed = ", changed since"
			}
			fmt.Fprintf(w, "revision %s of %s%s\n", b.Revision, b.Time, changed)
		}
	})
}
