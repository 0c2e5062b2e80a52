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
}

func (End) Help() string { return "Example:\n\n  solander end \"heron 12x16 fine\"" }

func (c *End) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	if err := register.CloseEdition(d.Ctx, d.Studio, e.ID); err != nil {
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
	return d.Show(v, func(w io.Writer) { printEdition(w, v, d.Units()) })
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
