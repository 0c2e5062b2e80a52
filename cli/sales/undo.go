package sales

import (
	"io"

	"solander/cli/desk"
	"solander/dispatch"
)

type Undo struct {
	Mark int64 `arg:"" optional:"" help:"Number of the mark; lists the latest marks when left out."`
}

func (Undo) Help() string { return "Example:\n\n  solander undo\n  solander undo 311" }

func (c *Undo) Run(d *desk.Open) error {
	if c.Mark != 0 {
		if err := dispatch.Undo(d.Ctx, d.Studio, c.Mark); err != nil {
			return err
		}
		return d.Say(map[string]int64{"undone": c.Mark}, "mark %d is taken back", c.Mark)
	}
	marks, err := dispatch.RecentMarks(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(marks, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("MARK\tDAY\tWHAT\tTEXT\tWHO")
			for _, m := range marks {
				text := m.Text
				if m.Undone {
					text += " (taken back)"
				}
				row("%d\t%s\t%s\t%s\t%s", m.ID, m.Day, m.Kind, text, m.Who)
			}
		})
	})
}
