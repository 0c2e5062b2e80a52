package stock

import (
	"io"

	"solander/cli/desk"
	"solander/house"
	"solander/stockroom"
	"solander/supply"
)

type Runs struct {
	List    runsListCmd    `cmd:"" default:"withargs" help:"Open runs (this is what runs alone does)."`
	Order   runsOrderCmd   `cmd:"" help:"Order sheets from a lab."`
	Receive runsReceiveCmd `cmd:"" help:"Take sheets in, whole or in part."`
	Close   runsCloseCmd   `cmd:"" help:"Say that nothing more will come."`
}

type runsListCmd struct {
	All bool `help:"Closed ones too."`
}

func (runsListCmd) Help() string { return "Example:\n\n  solander runs --all" }

func (c *runsListCmd) Run(d *desk.Open) error {
	rows, err := stockroom.Runs(d.Ctx, d.Studio, !c.All)
	if err != nil {
		return err
	}
	return d.Show(rows, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("RUN\tEDITION\tLAB\tORDERED\tEXPECTED\tQUANTITY\tGOOD\tREJECTED\tOUTSTANDING\tLATE")
			for _, r := range rows {
				row("%d\t%s\t%s\t%s\t%s\t%d\t%d\t%d\t%d\t%d", r.ID, r.Ed.Name(d.Units()), r.Lab, r.Ordered, r.Expected, r.Quantity, r.Good(), r.Rejected(), r.Outstanding(), r.Late)
			}
		})
	})
}

type runsOrderCmd struct {
	Edition  string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
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

func (c *runsOrderCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	r := supply.Run{Edition: e.ID, Lab: c.Lab, Quantity: c.Quantity, UnitCost: e.PrintCost, Note: c.Note}
	if c.UnitCost != "" {
		if r.UnitCost, err = d.Amount(c.UnitCost, "unit_cost"); err != nil {
			return err
		}
	}
	if r.Ordered, err = desk.Day(c.Ordered, "ordered"); err != nil {
		return err
	}
	if r.Ordered.IsZero() {
		if r.Ordered, err = house.Today(d.Ctx, d.Studio); err != nil {
			return err
		}
	}
	if r.Expected, err = desk.Day(c.Expected, "expected"); err != nil {
		return err
	}
	if r, err = stockroom.OrderRun(d.Ctx, d.Studio, r); err != nil {
		return err
	}
	return d.Say(r, "run %d: %d sheets of %s from %s", r.ID, r.Quantity, e.Name(d.Units()), r.Lab)
}

type runsReceiveCmd struct {
	Run_     string `arg:"" name:"run" predictor:"edition" help:"The run: its number, or words of its edition's name when that has one open run."`
	Good     int    `arg:"" help:"How many good sheets came in."`
	Rejected int    `placeholder:"SHEETS" help:"How many did not pass inspection."`
	Day      string `placeholder:"DAY" help:"Day; today when left out."`
	Note     string `placeholder:"TEXT" help:"A note to it."`
}

func (runsReceiveCmd) Help() string {
	return "Example:\n\n  solander runs receive \"heron 12x16\" 12 --rejected 1 --note \"banding on one\""
}

func (c *runsReceiveCmd) Run(d *desk.Open) error {
	run, err := d.RunNamed(c.Run_)
	if err != nil {
		return err
	}
	x := supply.Receipt{Run: run.ID, Good: c.Good, Rejected: c.Rejected, Note: c.Note}
	if x.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	if x.Day.IsZero() {
		if x.Day, err = house.Today(d.Ctx, d.Studio); err != nil {
			return err
		}
	}
	err = stockroom.Receive(d.Ctx, d.Studio, x)
	return d.Done(err, x, "run %d: %d good, %d rejected", x.Run, x.Good, x.Rejected)
}

type runsCloseCmd struct {
	Run_ string `arg:"" name:"run" predictor:"edition" help:"The run: its number, or words of its edition's name when that has one open run."`
}

func (runsCloseCmd) Help() string { return "Example:\n\n  solander runs close 4" }

func (c *runsCloseCmd) Run(d *desk.Open) error {
	run, err := d.RunNamed(c.Run_)
	if err != nil {
		return err
	}
	err = stockroom.CloseRun(d.Ctx, d.Studio, run.ID)
	return d.Done(err, map[string]int64{"closed": run.ID}, "run %d is closed", run.ID)
}
