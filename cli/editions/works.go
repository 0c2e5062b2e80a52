package editions

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/edition"
	"solander/register"
	"solander/studio"
)

type Works struct {
	Add  string `placeholder:"TITLE" help:"Add a work of this title."`
	Year int    `placeholder:"YEAR" help:"Year of the picture, with --add."`
	Note string `placeholder:"TEXT" help:"A note to it, with --add."`
}

func (Works) Help() string {
	return "Example:\n\n  solander works\n  solander works --add \"Low tide, morning\" --year 2025"
}

func (c *Works) Run(d *desk.Open) error {
	if c.Add != "" {
		w, err := register.SaveWork(d.Ctx, d.Studio, edition.Work{Title: c.Add, Year: c.Year, Note: c.Note})
		if err != nil {
			return err
		}
		return d.Say(w, "work %d %s is added", w.ID, w.Title)
	}
	works, err := register.Works(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return err
	}
	return d.Show(works, func(w io.Writer) {
		for _, wk := range works {
			fmt.Fprintf(w, "%d  %s\n", wk.ID, wk.Title)
			desk.Table(w, func(row func(string, ...any)) {
				for _, e := range wk.Editions {
					row("    edition %d\t%s\t%s\t%s\t%s\ton hand %d", e.ID, e.Size(set.Units), e.Grade, soldOf(e), e.PriceNow, e.OnHand)
				}
			})
		}
	})
}

func soldOf(e studio.EditionRow) string {
	switch {
	case e.Closed:
		return fmt.Sprintf("%d sold, ended", e.Sold)
	case e.Open():
		return fmt.Sprintf("%d sold, open edition", e.Sold)
	}
	return fmt.Sprintf("%d of %d sold", e.Sold, e.Limit)
}
