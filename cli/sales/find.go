package sales

import (
	"fmt"
	"io"
	"strings"

	"solander/book"
	"solander/cli/desk"
	"solander/measure"
	"solander/studio"
)

type Find struct {
	Text []string `arg:"" help:"What to look for: a number of a work, a mark, a buyer, a town, a tracking number."`
}

func (Find) Help() string {
	return "A number alone is looked for in every edition. Finding nothing ends with 1.\n\nExample:\n\n  solander find 17/250 heron\n  solander find number 17\n  solander find halloran"
}

func (c *Find) Run(d *desk.Open) error {
	found, err := book.Find(d.Ctx, d.Studio, strings.Join(c.Text, " "))
	if err != nil {
		return err
	}
	if err := d.Show(found, func(w io.Writer) { printFound(w, found, d.Units()) }); err != nil {
		return err
	}
	if found.None() {
		return desk.ErrFindings
	}
	return nil
}

func printFound(w io.Writer, f studio.Found, units measure.System) {
	if f.None() {
		fmt.Fprintf(w, "nothing found for %q\n", f.Text)
		return
	}
	for _, n := range f.Numbers {
		fmt.Fprintf(w, "%s %s: %s", n.Label, n.Edition.Name(units), n.Row.Standing.State)
		if n.Row.OrderMark != "" {
			fmt.Fprintf(w, ", %s %s", n.Row.OrderMark, n.Row.Buyer)
		}
		fmt.Fprintln(w)
	}
	for _, wk := range f.Works {
		fmt.Fprintf(w, "work %d %s\n", wk.ID, wk.Title)
	}
	for _, b := range f.Buyers {
		fmt.Fprintf(w, "buyer %d %s\n", b.ID, strings.Join(desk.Filled(b.Name, b.Email, b.Phone), ", "))
	}
	if len(f.Orders) > 0 {
		printOrders(w, f.Orders)
	}
}
