package sales

import (
	"fmt"
	"io"
	"slices"

	"solander/cli/desk"
	"solander/dispatch"
	"solander/studio"
)

type Undo struct {
	Mark int64 `arg:"" optional:"" help:"Number of the entry; lists the latest when left out."`
}

func (Undo) Help() string { return "Example:\n\n  solander undo\n  solander undo 311" }

func (c *Undo) Run(d *desk.Open) error {
	marks, err := dispatch.RecentMarks(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if c.Mark != 0 {
		if err := dispatch.Undo(d.Ctx, d.Studio, c.Mark); err != nil {
			return err
		}
		text := fmt.Sprint("entry ", c.Mark) // an older one is undone, too, and not listed
		if i := slices.IndexFunc(marks, func(m studio.Mark) bool { return m.ID == c.Mark }); i >= 0 {
			text = marks[i].Text
		}
		return d.Say(map[string]int64{"undone": c.Mark}, "taken back: %s", text)
	}
	return d.Show(marks, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ENTRY\tDAY\tWHAT\tTEXT\tWHO")
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
