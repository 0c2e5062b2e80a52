// Package editions has the commands of works, editions and the register: what is declared, what happened to each number, and the
// steps that are taken with one.
package editions

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/cli/record"
	"solander/edition"
	"solander/measure"
	"solander/register"
	"solander/studio"
)

type Register struct {
	record.Commands `embed:""`

	Show     regShowCmd     `cmd:"" help:"The numbers of an edition, or the history of one."`
	Sign     regSignCmd     `cmd:"" help:"Sign numbers that no order holds, ahead of a sale."`
	Spoil    regSpoilCmd    `cmd:"" help:"Record a destroyed sheet."`
	Restrike regRestrikeCmd `cmd:"" help:"Let a new sheet take a spoilt number, once."`
	Keep     regKeepCmd     `cmd:"" help:"Put a number into the artist's archive."`
	Release  regReleaseCmd  `cmd:"" help:"Take a kept number back, or free a spoilt one from its order."`
	Withdraw regWithdrawCmd `cmd:"" help:"Take a number out of the edition for good."`
}

// oneNumber are the arguments of everything that is done to one number.
type oneNumber struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Number  string `arg:"" help:"The number: 17, 17/250 or AP 2."`
}

// do runs a step on the number and shows the number afterwards.
func (c oneNumber) do(d *desk.Open, step func(ed int64, n edition.Number) error) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	n, err := desk.Number(c.Number, e.Edition)
	if err != nil {
		return err
	}
	if err := step(e.ID, n); err != nil {
		return err
	}
	v, err := register.Number(d.Ctx, d.Studio, e.ID, n)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) { printNumber(w, v, d.Units()) })
}

func printNumber(w io.Writer, v studio.NumberView, units measure.System) {
	fmt.Fprintf(w, "%s %s: %s", v.Label, v.Edition.Name(units), v.Row.Standing.State)
	if v.Row.OrderMark != "" {
		fmt.Fprintf(w, ", %s %s", v.Row.OrderMark, v.Row.Buyer)
	}
	fmt.Fprintln(w)
	desk.Table(w, func(row func(string, ...any)) {
		for _, e := range v.History {
			row("  %d\t%s\t%s\t%s\t%s\t%s", e.Turn, e.Day, e.Step, e.Order, e.Who, desk.OneLine(e.Note))
		}
	})
}

type regShowCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Number  string `arg:"" optional:"" help:"One number of it."`
}

func (regShowCmd) Help() string {
	return "Example:\n\n  solander register show \"heron 12x16 fine\"\n  solander register show 3 17/250"
}

func (c *regShowCmd) Run(d *desk.Open) error {
	if c.Number != "" {
		return oneNumber{c.Edition, c.Number}.do(d, func(int64, edition.Number) error { return nil })
	}
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	return showEdition(d, e.ID)
}

type regSignCmd struct {
	Edition string   `arg:"" predictor:"edition" help:"The edition."`
	Number  []string `arg:"" help:"The numbers."`
}

func (regSignCmd) Help() string { return "Example:\n\n  solander register sign 3 18 19 20" }

func (c *regSignCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	var ns []edition.Number
	for _, text := range c.Number {
		n, err := desk.Number(text, e.Edition)
		if err != nil {
			return err
		}
		ns = append(ns, n)
	}
	if err := register.SignAhead(d.Ctx, d.Studio, e.ID, ns); err != nil {
		return err
	}
	return showEdition(d, e.ID)
}

type regSpoilCmd struct {
	oneNumber
	Reason    string `required:"" placeholder:"TEXT" help:"Why."`
	SheetLost bool   `help:"A printed sheet of it was destroyed, though it was not signed yet."`
}

func (regSpoilCmd) Help() string {
	return "Example:\n\n  solander register spoil 3 17 --reason \"ink on the margin\""
}

func (c *regSpoilCmd) Run(d *desk.Open) error {
	return c.do(d, func(ed int64, n edition.Number) error {
		return register.Spoil(d.Ctx, d.Studio, register.SpoilIn{Edition: ed, Number: n, Reason: c.Reason, SheetLost: c.SheetLost})
	})
}

type regRestrikeCmd struct {
	oneNumber
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (regRestrikeCmd) Help() string {
	return "Example:\n\n  solander register restrike 3 17 --reason \"a clean sheet\""
}

func (c *regRestrikeCmd) Run(d *desk.Open) error {
	return c.do(d, func(ed int64, n edition.Number) error { return register.Restrike(d.Ctx, d.Studio, ed, n, c.Reason) })
}

type regKeepCmd struct {
	oneNumber
	Note string `placeholder:"TEXT" help:"A note."`
}

func (regKeepCmd) Help() string {
	return "Example:\n\n  solander register keep 3 1 --note \"archive drawer\""
}

func (c *regKeepCmd) Run(d *desk.Open) error {
	return c.do(d, func(ed int64, n edition.Number) error { return register.Keep(d.Ctx, d.Studio, ed, n, c.Note) })
}

type regReleaseCmd struct {
	oneNumber
	Note string `placeholder:"TEXT" help:"A note."`
}

func (regReleaseCmd) Help() string { return "Example:\n\n  solander register release 3 1" }

func (c *regReleaseCmd) Run(d *desk.Open) error {
	return c.do(d, func(ed int64, n edition.Number) error { return register.Release(d.Ctx, d.Studio, ed, n, c.Note) })
}

type regWithdrawCmd struct {
	oneNumber
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (regWithdrawCmd) Help() string {
	return "Example:\n\n  solander register withdraw 3 44 --reason \"paper flaw\""
}

func (c *regWithdrawCmd) Run(d *desk.Open) error {
	return c.do(d, func(ed int64, n edition.Number) error { return register.Withdraw(d.Ctx, d.Studio, ed, n, c.Reason) })
}
