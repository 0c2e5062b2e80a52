// Package stock has the commands of what is on hand or on its way: the drawer of prints, the shelf of packaging, runs of a lab, and
// boards cut from big sheets.
package stock

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/money"
	"solander/stockroom"
	"solander/studio"
	"solander/suppose"
)

type Shelf struct {
	Show    shelfShowCmd    `cmd:"" default:"withargs" help:"Packaging on hand (this is what shelf alone does)."`
	Count   shelfCountCmd   `cmd:"" help:"Set the stock of an item to what was counted."`
	Restock shelfRestockCmd `cmd:"" help:"Add pieces that came in."`
	OneMore shelfOneMoreCmd `cmd:"" help:"What one more piece of each would save today."`
	Save    shelfSaveCmd    `cmd:"" help:"Add a kind of packaging, or change one, from a file."`
}

type shelfShowCmd struct{}

func (shelfShowCmd) Help() string { return "Example:\n\n  solander shelf" }

func (c *shelfShowCmd) Run(d *desk.Open) error {
	rows, err := stockroom.Shelf(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(rows, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ITEM\tKEY\tKIND\tNAME\tSTOCK\t")
			for _, i := range rows {
				low := ""
				if i.Stock <= i.ReorderAt && !i.Retired {
					low = fmt.Sprintf("restock (at %d)", i.ReorderAt)
				}
				row("%d\t%s\t%s\t%s\t%d\t%s", i.ID, i.Spec.ID, i.Spec.Kind, i.Spec.Name, i.Stock, low)
			}
		})
	})
}

type shelfCountCmd struct {
	Item   string `arg:"" predictor:"shelf" help:"The item: its number, its key, or words of its name that fit no other."`
	Pieces int    `arg:"" help:"How many were counted."`
	Reason string `placeholder:"TEXT" default:"counted" help:"Why."`
}

func (shelfCountCmd) Help() string { return "Example:\n\n  solander shelf count 5 40" }

func (c *shelfCountCmd) Run(d *desk.Open) error {
	i, err := d.ShelfNamed(c.Item)
	if err != nil {
		return err
	}
	err = stockroom.CountShelf(d.Ctx, d.Studio, i.ID, c.Pieces, c.Reason)
	return d.Done(err, map[string]any{"item": i.ID, "stock": c.Pieces}, "%s: %d", i.Spec.Name, c.Pieces)
}

type shelfRestockCmd struct {
	Item     string `arg:"" predictor:"shelf" help:"The item: its number, its key, or words of its name that fit no other."`
	Pieces   int    `arg:"" help:"How many came in."`
	UnitCost string `placeholder:"AMOUNT" help:"Price of one piece; stays when left out."`
}

func (shelfRestockCmd) Help() string {
	return "Example:\n\n  solander shelf restock 5 25 --unit-cost 0.84"
}

func (c *shelfRestockCmd) Run(d *desk.Open) error {
	i, err := d.ShelfNamed(c.Item)
	if err != nil {
		return err
	}
	var cost *money.Amount
	if c.UnitCost != "" {
		a, err := d.Amount(c.UnitCost, "unit_cost")
		if err != nil {
			return err
		}
		cost = &a
	}
	err = stockroom.Restock(d.Ctx, d.Studio, i.ID, c.Pieces, cost)
	return d.Done(err, map[string]any{"item": i.ID, "added": c.Pieces}, "%s: %d more", i.Spec.Name, c.Pieces)
}

type shelfOneMoreCmd struct {
	Day string `placeholder:"DAY" help:"Day of hand-over; today when left out."`
}

func (shelfOneMoreCmd) Help() string {
	return `Plans the orders that may be packed together, once as the shelf is, and once again with one more piece of
each kind of packaging that is scarce. The price of the piece is in the plans that use it.

Example:

  solander shelf one-more`
}

func (c *shelfOneMoreCmd) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	tell, done := d.Progress("planning")
	found, err := suppose.AskOneMore(d.Ctx, d.Studio, on, tell)
	done()
	if err != nil {
		return err
	}
	return d.Show(found, func(w io.Writer) { printOneMore(w, found) })
}

func printOneMore(w io.Writer, found suppose.OneMore) {
	if found.Stopped {
		fmt.Fprintf(w, "stopped: %d of %d kinds of packaging were looked at\n", found.Asked, found.Of)
	}
	if len(found.Items) == 0 && !found.Stopped {
		fmt.Fprintln(w, "no single piece more would save anything")
		return
	}
	desk.Table(w, func(row func(string, ...any)) {
		row("KEY\tNAME\tLEFT\t")
		for _, m := range found.Items {
			row("%s\t%s\t%d\t%s", m.Item, m.Name, m.Left, m.Text)
		}
	})
}

type shelfSaveCmd struct {
	File string `required:"" placeholder:"FILE" predictor:"file" help:"The item in a JSON file (- is the input stream)."`
}

func (shelfSaveCmd) Help() string {
	return "The form is the one that solander shelf --json shows.\n\nExample:\n\n  solander shelf save --file tube.json"
}

func (c *shelfSaveCmd) Run(d *desk.Open) error {
	var err error
	var it studio.ShelfItem
	if err := d.ReadJSON(c.File, "file", &it); err != nil {
		return err
	}
	if it.Spec.ID == "" {
		return fault.Invalidf("spec.id", "the key is missing").ToMend("give the item a short key of its own, such as tube-18")
	}
	if it, err = stockroom.SaveShelfItem(d.Ctx, d.Studio, it); err != nil {
		return err
	}
	return d.Say(it, "item %d %s is saved", it.ID, it.Spec.Name)
}
