package stock

import (
	"io"

	"solander/cli/desk"
	"solander/stockroom"
)

type Drawer struct {
	Show  drawerShowCmd  `cmd:"" default:"withargs" help:"Sheets on hand (this is what drawer alone does)."`
	Count drawerCountCmd `cmd:"" help:"Set the sheets of an edition to what was counted."`
}

type drawerShowCmd struct{}

func (drawerShowCmd) Help() string { return "Example:\n\n  solander drawer" }

func (c *drawerShowCmd) Run(d *desk.Open) error {
	rows, err := stockroom.Drawer(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(rows, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("EDITION\tNAME\tON HAND\tCLAIMED\tWAITING\tORDERED")
			for _, r := range rows {
				row("%d\t%s\t%d\t%d\t%d\t%d", r.ID, r.Name(d.Units()), r.OnHand, r.Claimed, r.Waiting, r.Outstanding)
			}
		})
	})
}

type drawerCountCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Sheets  int    `arg:"" help:"How many were counted, signed or not."`
	Reason  string `placeholder:"TEXT" default:"counted" help:"Why."`
}

func (drawerCountCmd) Help() string { return "Example:\n\n  solander drawer count 3 14" }

func (c *drawerCountCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	err = stockroom.CountSheets(d.Ctx, d.Studio, e.ID, c.Sheets, c.Reason)
	return d.Done(err, map[string]any{"edition": e.ID, "on_hand": c.Sheets}, "sheets of edition %d on hand: %d", e.ID, c.Sheets)
}
