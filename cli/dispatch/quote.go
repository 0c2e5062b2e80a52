package dispatch

import (
	"fmt"
	"io"
	"strings"

	"solander/choosing"
	"solander/cli/desk"
	"solander/quote"
)

type Quote struct {
	Size     string `arg:"" optional:"" placeholder:"SIZE" help:"Size of a print, such as \"16 x 20\"; or name an --edition."`
	Edition  string `placeholder:"EDITION" predictor:"edition" help:"Prints of this edition."`
	Prints   int    `default:"1" help:"How many."`
	To       string `placeholder:"COUNTRY" help:"Country, by name or two letters; the studio's own when left out."`
	Postcode string `placeholder:"POSTCODE" help:"Postcode there; within a country most prices go by it."`
	Worth    string `placeholder:"AMOUNT" help:"Worth of one print; its price when left out."`
	Outlet   string `placeholder:"OUTLET" predictor:"outlet" help:"Where it would be sold, for its fee."`
	Words    bool   `help:"Print only the words for a mail."`
}

func (Quote) Help() string {
	return `Says what sending prints would cost that nobody has ordered yet, planned as such an order would be; in words
to paste into a mail, and what you would keep of the price. Nothing in the studio is changed.

Example:

  solander quote "16 x 20" --to Canada --worth 150
  solander quote --edition heron-at-dusk --prints 2 --postcode 97201 --words`
}

func (c *Quote) Run(d *desk.Open) error {
	in := quote.In{Size: c.Size, Prints: c.Prints, Country: c.To, Postcode: c.Postcode}
	if c.Edition != "" {
		e, err := d.EditionNamed(c.Edition)
		if err != nil {
			return err
		}
		in.Edition = e.ID
	}
	if c.Outlet != "" {
		u, err := d.OutletNamed(c.Outlet)
		if err != nil {
			return err
		}
		in.Outlet = u.ID
	}
	if c.Worth != "" {
		worth, err := d.Amount(c.Worth, "worth")
		if err != nil {
			return err
		}
		in.Worth = &worth
	}
	a, err := quote.Ask(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(a, func(w io.Writer) {
		if c.Words && a.Words != "" {
			fmt.Fprintln(w, a.Words)
			return
		}
		printQuote(w, a)
	})
}

func printQuote(w io.Writer, a quote.Answer) {
	if a.Held != "" {
		fmt.Fprintf(w, "%s to %s: not possible: %s\n", a.What, a.To, a.Held)
		return
	}
	fmt.Fprintf(w, "%s to %s: %s (packaging %s, work %s, postage %s)\n\n", a.What, a.To, a.Cost, a.Packaging.Plain(), a.Work.Plain(), a.Postage.Plain())
	PrintWays(w, a.Ways)
	fmt.Fprintf(w, "\n%s\n", a.Words)
	if k := a.Keeps; k != nil {
		fmt.Fprintf(w, "\nof a price of %s you keep %s: less sheets %s, sending %s, fee %s\n", k.Price, k.Left, k.Sheets.Plain(), k.Cost.Plain(), k.Fee.Plain())
	}
	for _, x := range []struct {
		word string
		list []string
	}{{"assumed", a.Assumed}, {"not counted", a.NotCounted}, {"caution", a.Cautions}} {
		for _, text := range x.list {
			fmt.Fprintf(w, "%s: %s\n", x.word, text)
		}
	}
}

// PrintWays prints ways to send, the cheapest first, with the names of the three choices.
func PrintWays(w io.Writer, c choosing.Choices) {
	desk.Table(w, func(row func(string, ...any)) {
		row("WAY\tCOST\tTHERE BY\tPACKAGING\tCARE\tHOW\t")
		for i, x := range c.Ways {
			var is []string
			for _, n := range []struct {
				at   int
				name string
			}{{0, "cheapest"}, {c.Sooner, "sooner"}, {c.Safer, "safer"}, {c.Taken, "chosen"}} {
				if n.at == i {
					is = append(is, n.name)
				}
			}
			by := "not stated"
			if !x.Arrives.IsZero() {
				by = x.Arrives.String()
			}
			row("%d\t%s\t%s\t%s\t%s\t%s\t%s", i+1, x.Cost, by, x.Protection.Packaging.Words(), x.Protection.Care.Words(), strings.Join(x.By, "; "), strings.Join(is, ", "))
		}
	})
}
