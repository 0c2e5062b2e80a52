package cli

import (
	"fmt"
	"io"

	"solander/fault"
	"solander/money"
	"solander/studio"
	"solander/supply"
)

type drawerCmd struct {
	Show  drawerShowCmd  `cmd:"" default:"withargs" help:"Sheets on hand (this is what drawer alone does)."`
	Count drawerCountCmd `cmd:"" help:"Set the sheets of an edition to what was counted."`
}

type drawerShowCmd struct{}

func (drawerShowCmd) Help() string { return "Example:\n\n  solander drawer" }

func (c *drawerShowCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	rows, err := st.Drawer(d.ctx)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("EDITION\tNAME\tON HAND\tCLAIMED\tWAITING\tORDERED")
			for _, r := range rows {
				row("%d\t%s\t%d\t%d\t%d\t%d", r.ID, r.Name("inch"), r.OnHand, r.Claimed, r.Waiting, r.Outstanding)
			}
		})
	})
}

type drawerCountCmd struct {
	Edition string `arg:"" help:"The edition: its number, or words of its name that fit no other."`
	Sheets  int    `arg:"" help:"How many were counted, signed or not."`
	Reason  string `placeholder:"TEXT" default:"counted" help:"Why."`
}

func (drawerCountCmd) Help() string { return "Example:\n\n  solander drawer count 3 14" }

func (c *drawerCountCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	e, err := d.editionNamed(c.Edition)
	if err != nil {
		return err
	}
	if err := st.CountSheets(d.ctx, e.ID, c.Sheets, c.Reason); err != nil {
		return err
	}
	return d.say(map[string]any{"edition": e.ID, "on_hand": c.Sheets}, "sheets of edition %d on hand: %d", e.ID, c.Sheets)
}

type runsCmd struct {
	List    runsListCmd    `cmd:"" default:"withargs" help:"Open runs (this is what runs alone does)."`
	Order   runsOrderCmd   `cmd:"" help:"Order sheets from a lab."`
	Receive runsReceiveCmd `cmd:"" help:"Take sheets in, whole or in part."`
	Close   runsCloseCmd   `cmd:"" help:"Say that nothing more will come."`
}

type runsListCmd struct {
	All bool `help:"Closed ones too."`
}

func (runsListCmd) Help() string { return "Example:\n\n  solander runs --all" }

func (c *runsListCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	rows, err := st.Runs(d.ctx, !c.All)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("RUN\tEDITION\tLAB\tORDERED\tEXPECTED\tQUANTITY\tGOOD\tREJECTED\tOUTSTANDING\tLATE")
			for _, r := range rows {
				row("%d\t%s\t%s\t%s\t%s\t%d\t%d\t%d\t%d\t%d", r.ID, r.Ed.Name("inch"), r.Lab, r.Ordered, r.Expected, r.Quantity, r.Good(), r.Rejected(), r.Outstanding(), r.Late)
			}
		})
	})
}

type runsOrderCmd struct {
	Edition  string `arg:"" help:"The edition: its number, or words of its name that fit no other."`
	Quantity int    `arg:"" help:"How many sheets."`
	Lab      string `required:"" placeholder:"NAME" help:"Who prints it."`
	UnitCost string `placeholder:"AMOUNT" help:"Price of one sheet; the edition's print cost when left out."`
	Ordered  string `placeholder:"DAY" help:"Day of the order; today when left out."`
	Expected string `placeholder:"DAY" help:"Day it is expected."`
	Note     string `placeholder:"TEXT" help:"A note to it."`
}

func (runsOrderCmd) Help() string {
	return "Example:\n\n  solander runs order \"heron 12x16 fine\" 20 --lab \"Saltmarsh Print Room\" --expected 2026-04-24"
}

func (c *runsOrderCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	e, err := d.editionNamed(c.Edition)
	if err != nil {
		return err
	}
	r := supply.Run{Edition: e.ID, Lab: c.Lab, Quantity: c.Quantity, UnitCost: e.PrintCost, Note: c.Note}
	if c.UnitCost != "" {
		if r.UnitCost, err = d.amount(c.UnitCost, "unit_cost"); err != nil {
			return err
		}
	}
	if r.Ordered, err = day(c.Ordered, "ordered"); err != nil {
		return err
	}
	if r.Ordered.IsZero() {
		if r.Ordered, err = st.Today(d.ctx); err != nil {
			return err
		}
	}
	if r.Expected, err = day(c.Expected, "expected"); err != nil {
		return err
	}
	if r, err = st.OrderRun(d.ctx, r); err != nil {
		return err
	}
	return d.say(r, "run %d: %d sheets of %s from %s", r.ID, r.Quantity, e.Name("inch"), r.Lab)
}

type runsReceiveCmd struct {
	Run_     int64  `arg:"" name:"run" help:"Number of the run."`
	Good     int    `arg:"" help:"How many good sheets came in."`
	Rejected int    `placeholder:"SHEETS" help:"How many did not pass inspection."`
	Day      string `placeholder:"DAY" help:"Day; today when left out."`
	Note     string `placeholder:"TEXT" help:"A note to it."`
}

func (runsReceiveCmd) Help() string {
	return "Example:\n\n  solander runs receive 4 12 --rejected 1 --note \"banding on one\""
}

func (c *runsReceiveCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	x := supply.Receipt{Run: c.Run_, Good: c.Good, Rejected: c.Rejected, Note: c.Note}
	if x.Day, err = day(c.Day, "day"); err != nil {
		return err
	}
	if x.Day.IsZero() {
		if x.Day, err = st.Today(d.ctx); err != nil {
			return err
		}
	}
	if err := st.Receive(d.ctx, x); err != nil {
		return err
	}
	return d.say(x, "run %d: %d good, %d rejected", x.Run, x.Good, x.Rejected)
}

type runsCloseCmd struct {
	Run_ int64 `arg:"" name:"run" help:"Number of the run."`
}

func (runsCloseCmd) Help() string { return "Example:\n\n  solander runs close 4" }

func (c *runsCloseCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	if err := st.CloseRun(d.ctx, c.Run_); err != nil {
		return err
	}
	return d.say(map[string]int64{"closed": c.Run_}, "run %d is closed", c.Run_)
}

type shelfCmd struct {
	Show    shelfShowCmd    `cmd:"" default:"withargs" help:"Packaging on hand (this is what shelf alone does)."`
	Count   shelfCountCmd   `cmd:"" help:"Set the stock of an item to what was counted."`
	Restock shelfRestockCmd `cmd:"" help:"Add pieces that came in."`
	Save    shelfSaveCmd    `cmd:"" help:"Add a kind of packaging, or change one, from a file."`
}

type shelfShowCmd struct{}

func (shelfShowCmd) Help() string { return "Example:\n\n  solander shelf" }

func (c *shelfShowCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	rows, err := st.Shelf(d.ctx)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
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
	Item   string `arg:"" help:"The item: its number, its key, or words of its name that fit no other."`
	Pieces int    `arg:"" help:"How many were counted."`
	Reason string `placeholder:"TEXT" default:"counted" help:"Why."`
}

func (shelfCountCmd) Help() string { return "Example:\n\n  solander shelf count 5 40" }

func (c *shelfCountCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	i, err := d.shelfNamed(c.Item)
	if err != nil {
		return err
	}
	if err := st.CountShelf(d.ctx, i.ID, c.Pieces, c.Reason); err != nil {
		return err
	}
	return d.say(map[string]any{"item": i.ID, "stock": c.Pieces}, "%s: %d", i.Spec.Name, c.Pieces)
}

type shelfRestockCmd struct {
	Item     string `arg:"" help:"The item: its number, its key, or words of its name that fit no other."`
	Pieces   int    `arg:"" help:"How many came in."`
	UnitCost string `placeholder:"AMOUNT" help:"Price of one piece; stays when left out."`
}

func (shelfRestockCmd) Help() string {
	return "Example:\n\n  solander shelf restock 5 25 --unit-cost 0.84"
}

func (c *shelfRestockCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	i, err := d.shelfNamed(c.Item)
	if err != nil {
		return err
	}
	var cost *money.Amount
	if c.UnitCost != "" {
		a, err := d.amount(c.UnitCost, "unit_cost")
		if err != nil {
			return err
		}
		cost = &a
	}
	if err := st.Restock(d.ctx, i.ID, c.Pieces, cost); err != nil {
		return err
	}
	return d.say(map[string]any{"item": i.ID, "added": c.Pieces}, "%s: %d more", i.Spec.Name, c.Pieces)
}

type shelfSaveCmd struct {
	File string `required:"" placeholder:"FILE" help:"The item in a JSON file (- is the input stream)."`
}

func (shelfSaveCmd) Help() string {
	return "The form is the one that solander shelf --json shows.\n\nExample:\n\n  solander shelf save --file tube.json"
}

func (c *shelfSaveCmd) Run(d *desk) error {
	st, err := d.studio()
	if err != nil {
		return err
	}
	var it studio.ShelfItem
	if err := d.readJSON(c.File, "file", &it); err != nil {
		return err
	}
	if it.Spec.ID == "" {
		return fault.Invalidf("spec.id", "the key is missing").ToMend("give the item a short key of its own, such as tube-18")
	}
	if it, err = st.SaveShelfItem(d.ctx, it); err != nil {
		return err
	}
	return d.say(it, "item %d %s is saved", it.ID, it.Spec.Name)
}
