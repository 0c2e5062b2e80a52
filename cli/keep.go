package cli

import (
	"errors"
	"fmt"
	"io"

	"solander/fault"
	"solander/studio"
)

type backupCmd struct {
	File  string `arg:"" help:"File to write (- is the output stream)."`
	Force bool   `help:"Replace the file when it exists."`
}

func (backupCmd) Help() string { return "Example:\n\n  solander backup studio-2026-04-14.copy" }

func (c *backupCmd) Run(d *open) error {
	if err := d.toFile(c.File, c.Force, func(w io.Writer) error { return d.st.Backup(d.ctx, w) }); err != nil {
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
	if _, err := d.fill(restore); err != nil {
		return err
	}
	return d.say(map[string]string{"restored": d.store.Place()}, "restored: %s", d.store.Place())
}

type checkCmd struct{}

func (checkCmd) Help() string {
	return "Returns 1 when something is wrong.\n\nExample:\n\n  solander check --json"
}

func (c *checkCmd) Run(d *desk) error {
	found, err := d.check()
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

// check looks at the studio; a store that is too damaged to be opened is a finding, too.
func (d *desk) check() ([]studio.Finding, error) {
	o, err := d.opened()
	var f *fault.Error
	if errors.Is(err, studio.ErrDamaged) && errors.As(err, &f) {
		return []studio.Finding{{Where: f.Where, What: f.What, Mend: f.Mend}}, nil
	}
	if err != nil {
		return nil, err
	}
	return o.st.Check(d.ctx)
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
