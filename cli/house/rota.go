package house

import (
	"cmp"
	"fmt"
	"io"
	"time"

	"solander/cli/desk"
	"solander/rota"
	"solander/upkeep"
)

type Rota struct{}

func (Rota) Help() string {
	return "The work is done by solander serve, by one of them at a time.\n\nExample:\n\n  solander rota"
}

func (c *Rota) Run(d *desk.Open) error {
	jobs, err := rota.Jobs(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if jobs == nil {
		jobs = []upkeep.RotaJob{}
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return err
	}
	at := func(t time.Time) string {
		if t.IsZero() {
			return "-"
		}
		return t.In(set.Place()).Format("2006-01-02 15:04")
	}
	return d.Show(jobs, func(w io.Writer) {
		if len(jobs) == 0 {
			fmt.Fprintln(w, "nothing was due yet: scheduled work begins with solander serve")
			return
		}
		desk.Table(w, func(row func(format string, args ...any)) {
			row("job\tdue\tended\twent well\tsaid")
			for _, j := range jobs {
				row("%s\t%s\t%s\t%s\t%s", j.Name, at(j.Due), at(j.Ended), at(j.Good), cmp.Or(j.Said, "-"))
			}
		})
	})
}
