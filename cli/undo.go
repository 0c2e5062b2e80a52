package cli

import (
	"io"
)

type undoCmd struct {
	Mark int64 `arg:"" optional:"" help:"Number of the mark; lists the latest marks when left out."`
}

func (undoCmd) Help() string { return "Example:\n\n  solander undo\n  solander undo 311" }

func (c *undoCmd) Run(d *open) error {
	if c.Mark != 0 {
		if err := d.st.Undo(d.ctx, c.Mark); err != nil {
			return err
		}
		return d.say(map[string]int64{"undone": c.Mark}, "mark %d is taken back", c.Mark)
	}
	marks, err := d.st.RecentMarks(d.ctx)
	if err != nil {
		return err
	}
	return d.show(marks, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
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
