package editions

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/edition"
	"solander/measure"
	"solander/register"
	"solander/studio"
)

type End struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Files   string `required:"" placeholder:"TEXT" help:"What became of plate and files: kept and locked, struck through, deleted."`
	Note    string `placeholder:"TEXT" help:"A note."`
	Cancel  bool   `help:"Declare it cancelled: plate or files can print no more. Sales go on."`
}

func (End) Help() string {
	return `An edition that ends is not sold any more, and the numbers that nobody has are withdrawn with it. That it is sold out, that it
is closed and that it is cancelled are three facts; the last two are declared, once each, and never taken back. solander certificate
closing prints the declaration.

Example:

  solander end "heron 12x16 fine" --files "the files are deleted"
  solander end "heron 12x16 fine" --cancel --files "the plate is struck through"`
}

func (c *End) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	fact := edition.Closed
	if c.Cancel {
		fact = edition.Cancelled
	}
	if _, err := register.Close(d.Ctx, d.Studio, edition.Closing{Edition: e.ID, Fact: fact, Files: c.Files, Note: c.Note}); err != nil {
		return err
	}
	return showEdition(d, e.ID)
}

// showEdition shows an edition with its numbers.
func showEdition(d *desk.Open, id int64) error {
	v, err := register.Edition(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	ends, err := register.EndsOf(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	return d.Show(struct {
		studio.EditionView
		Ends register.Ends `json:"ends"`
	}{v, ends}, func(w io.Writer) {
		printEdition(w, v, d.Units())
		printEnds(w, ends)
	})
}

func printEdition(w io.Writer, v studio.EditionView, units measure.System) {
	fmt.Fprintf(w, "edition %d %s, %s\n", v.ID, v.Name(units), v.Paper)
	fmt.Fprintf(w, "price now %s, sold %d, on hand %d, ordered %d\n", v.PriceNow, v.Sold, v.OnHand, v.Outstanding)
	for _, s := range edition.States() {
		if n := v.Counts[s]; n > 0 {
			fmt.Fprintf(w, "  %s: %d\n", s, n)
		}
	}
	desk.Table(w, func(row func(string, ...any)) {
		for _, n := range v.Numbers {
			if n.Standing.State != edition.Free {
				row("  %s\t%s\t%s\t%s", n.Number.Of(v.Edition), n.Standing.State, n.OrderMark, n.Buyer)
			}
		}
	})
}

func printEnds(w io.Writer, e register.Ends) {
	if words := e.Words(); words != "" {
		fmt.Fprintln(w, words)
	}
	for _, c := range []*edition.Closing{e.Closed, e.Cancelled} {
		if c != nil && !c.Day.IsZero() {
			fmt.Fprintf(w, "  %s on %s: %s\n", c.Fact, c.Day, desk.OneLine(c.Files))
		}
	}
}
