package cli

import (
	"fmt"
	"io"

	"solander/edition"
	"solander/measure"
	"solander/studio"
)

type endCmd struct {
	Edition string `arg:"" help:"The edition: its number, or words of its name that fit no other."`
}

func (endCmd) Help() string { return "Example:\n\n  solander end \"heron 12x16 fine\"" }

func (c *endCmd) Run(d *open) error {
	e, err := d.editionNamed(c.Edition)
	if err != nil {
		return err
	}
	if err := d.st.CloseEdition(d.ctx, e.ID); err != nil {
		return err
	}
	return d.showEdition(e.ID)
}

// showEdition shows an edition with its numbers.
func (d *open) showEdition(id int64) error {
	v, err := d.st.Edition(d.ctx, id)
	if err != nil {
		return err
	}
	return d.show(v, func(w io.Writer) { printEdition(w, v, d.units()) })
}

func printEdition(w io.Writer, v studio.EditionView, units measure.System) {
	fmt.Fprintf(w, "edition %d %s, %s\n", v.ID, v.Name(units), v.Paper)
	fmt.Fprintf(w, "price now %s, sold %d, on hand %d, ordered %d\n", v.PriceNow, v.Sold, v.OnHand, v.Outstanding)
	for _, s := range edition.States() {
		if n := v.Counts[s]; n > 0 {
			fmt.Fprintf(w, "  %s: %d\n", s, n)
		}
	}
	table(w, func(row func(string, ...any)) {
		for _, n := range v.Numbers {
			if n.Standing.State != edition.Free {
				row("  %s\t%s\t%s\t%s", n.Number.Of(v.Edition), n.Standing.State, n.OrderMark, n.Buyer)
			}
		}
	})
}
