// Package house has the commands that keep the studio itself: copies and exports, ways in for other programs, calendars and address
// cards, the check of everything.
package house

import (
	"errors"
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/house"
	"solander/studio"
)

type Backup struct {
	File  string `arg:"" predictor:"file" help:"File to write (- is the output stream)."`
	Force bool   `help:"Replace the file when it exists."`
}

func (Backup) Help() string { return "Example:\n\n  solander backup studio-2026-04-14.copy" }

func (c *Backup) Run(d *desk.Open) error {
	if err := d.ToFile(c.File, c.Force, func(w io.Writer) error { return house.Backup(d.Ctx, d.Studio, w) }); err != nil {
		return err
	}
	if c.File == "-" {
		return nil
	}
	return d.Say(map[string]string{"written": c.File}, "written: %s", c.File)
}

type Restore struct {
	File string `arg:"" predictor:"file" help:"A copy, or the folder or ZIP of an export (- is a copy on the input stream)."`
	Key  string `placeholder:"FILE" predictor:"file" help:"The file of the key that opens a sealed copy, or one with its passphrase (or set SOLANDER_PASSPHRASE)."`
}

func (Restore) Help() string {
	return "The place must be empty or not there yet.\n\nExample:\n\n  solander restore studio-2026-04-14.copy --store ~/restored/studio.db"
}

func (c *Restore) Run(d *desk.Desk) error {
	restore, end, err := restoreFrom(d, c.File, c.Key)
	if err != nil {
		return err
	}
	defer end()
	if _, err := d.Fill(restore); err != nil {
		return err
	}
	return d.Say(map[string]string{"restored": d.Store.Place()}, "restored: %s", d.Store.Place())
}

type Check struct{}

func (Check) Help() string {
	return "Returns 1 when something is wrong.\n\nExample:\n\n  solander check --json"
}

func (c *Check) Run(d *desk.Desk) error {
	out, err := check(d)
	if err != nil {
		return err
	}
	err = d.Show(out, func(w io.Writer) {
		if len(out.Findings) == 0 {
			fmt.Fprintln(w, desk.Good("database, register and stock are sound"))
		}
		for _, f := range out.Findings {
			fmt.Fprintf(w, "%s: %s\n", desk.Late(f.Where), f.What)
			if f.Mend != "" {
				fmt.Fprintf(w, "  hint: %s\n", f.Mend)
			}
		}
		if out.Unseen != "" {
			fmt.Fprintf(w, "not shown: %s\n", out.Unseen)
		}
	})
	if err == nil && len(out.Findings) > 0 {
		return desk.ErrFindings
	}
	return err
}

// checked is what came of a check as it is shown.
type checked struct {
	Findings []studio.Finding `json:"findings"`
	Unseen   string           `json:"unseen,omitempty"` // what could not be shown
}

// check looks at the studio, and says what cannot be shown of it; a store that is too damaged to be opened is a finding, too.
func check(d *desk.Desk) (checked, error) {
	o, err := d.Opened()
	var f *fault.Error
	if errors.Is(err, studio.ErrDamaged) && errors.As(err, &f) {
		return checked{Findings: []studio.Finding{{Where: f.Where, What: f.What, Mend: f.Mend}}}, nil
	}
	if err != nil {
		return checked{}, err
	}
	v, err := o.Studio.Store.Vouched(d.Ctx)
	if err != nil {
		return checked{}, err
	}
	found, err := house.Check(d.Ctx, o.Studio)
	if found == nil {
		found = []studio.Finding{}
	}
	return checked{found, v.Says()}, err
}

type Version struct{}

func (Version) Help() string { return "Example:\n\n  solander version" }

func (c *Version) Run(d *desk.Desk) error {
	b := d.Env.Version()
	return d.Show(b, func(w io.Writer) {
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
