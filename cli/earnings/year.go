package earnings

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/journal"
	"solander/yearly"
	"solander/years"
)

type yearCmd struct {
	Year  int    `arg:"" optional:"" help:"The year; that of today when left out."`
	Of    string `placeholder:"ROW" help:"List the entries of a row, such as sales, fees or sheets; late: what puts a closed period right."`
	Month int    `placeholder:"N" help:"Of one month alone, 1 to 12."`
	Page  int    `placeholder:"N" default:"1" help:"Which page of them."`
}

// Help says what stands in it.
func (yearCmd) Help() string {
	return `Sales, the cost of the prints sold, the stock at the end of the year, postage, supplies, fees, refunds: each row is the sum of entries of
the journal, which --of lists. This is no tax advice: what belongs into a return, your adviser says.

Example:

  solander earnings year 2031
  solander earnings year 2031 --of fees --month 3`
}

// Run shows a year, or the entries of a row.
func (c *yearCmd) Run(d *desk.Open) error {
	if c.Of != "" {
		return c.trace(d)
	}
	v, err := years.Year(d.Ctx, d.Studio, c.Year)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		for _, y := range v.Years {
			printYear(w, y)
		}
		if len(v.Years) == 1 && v.Years[0].Empty() {
			fmt.Fprintf(w, "nothing is in the journal of %d: a sale counts once its print is handed over\n", v.Year)
		}
		if !v.Closed.IsZero() {
			fmt.Fprintf(w, "closed up to %s\n", v.Closed)
		}
		if v.Late > 0 {
			fmt.Fprintf(w, "lines that put a closed period right: solander earnings year %d --of late\n", v.Year)
		}
	})
}

func printYear(w io.Writer, y yearly.Year) {
	desk.Table(w, func(row func(string, ...any)) {
		row("%d\t\tROW", y.Year)
		for _, p := range yearly.Parts() {
			row("%s\t\t", p.Words())
			for _, r := range y.In(p) {
				row("  %s\t%s\t%s", r.Name, r.Amount, r.Key)
			}
			switch p {
			case yearly.Income:
				row("  in all\t%s\t", y.Income)
			case yearly.Costs:
				row("  in all\t%s\t", y.Costs)
				row("Left\t%s\t", y.Left)
			}
		}
	})
}

func (c *yearCmd) trace(d *desk.Open) error {
	in := years.TraceIn{Year: c.Year, Month: c.Month, Of: c.Of, Page: c.Page - 1}
	if in.Year == 0 {
		v, err := years.Year(d.Ctx, d.Studio, 0)
		if err != nil {
			return err
		}
		in.Year = v.Year
	}
	v, err := years.Trace(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ENTRY\tDAY\tWHAT\tACCOUNT\tORDER\tAMOUNT")
			for _, x := range v.Lines {
				text := x.Text
				if !x.True.IsZero() {
					text += " (of " + x.True.String() + ")"
				}
				row("%d\t%s\t%s\t%s\t%s\t%s", x.Entry, x.Day, text, x.Account, x.Mark, x.Amount)
			}
		})
		if v.More {
			fmt.Fprintf(w, "more of them: --page %d\n", c.Page+1)
		}
	})
}

type closeCmd struct {
	Until string `arg:"" optional:"" help:"The last day of the period; without it, what is closed is listed."`
	Sure  bool   `help:"Say that it cannot be opened again."`
}

// Help says what closing is.
func (closeCmd) Help() string {
	return `A closed period stays closed. What is put right later is entered on the first open day, with the day to which it belongs noted.

Example:

  solander earnings close 2030-12-31 --sure
  solander earnings close`
}

// Run closes a period, or lists what is closed.
func (c *closeCmd) Run(d *desk.Open) error {
	if c.Until == "" {
		all, err := journal.Closed(d.Ctx, d.Studio)
		if err != nil {
			return err
		}
		return d.Show(all, func(w io.Writer) {
			if len(all) == 0 {
				fmt.Fprintln(w, "nothing is closed: solander earnings close DAY --sure closes what lies up to a day, for good")
			}
			for _, x := range all {
				fmt.Fprintf(w, "closed up to %s, by %s on %s\n", x.Until, x.Who, x.At.Format("2006-01-02"))
			}
		})
	}
	until, err := desk.Day(c.Until, "until")
	if err != nil {
		return err
	}
	if !c.Sure {
		return fault.Invalidf("sure", "a closed period cannot be opened again").ToMend("add --sure when you mean it")
	}
	x, err := journal.Close(d.Ctx, d.Studio, until)
	return d.Done(err, x, "everything up to %s is closed, for good", until)
}

type openingCmd struct {
	Account openAccountCmd `cmd:"" help:"What stood on an account before the program kept the books."`
	Cost    openCostCmd    `cmd:"" help:"What the prints of an order cost that was moved in."`
}

type openAccountCmd struct {
	Account string `arg:"" help:"By its code or key: 1000 is the bank (solander earnings accounts)."`
	Amount  string `arg:"" help:"What there is, or what you owe; less than nothing behind --."`
	Day     string `required:"" placeholder:"DAY" help:"The last day before the program kept the books."`
	Text    string `placeholder:"TEXT" help:"Where you have it from."`
	Bank    int64  `placeholder:"ACCOUNT" help:"Of account 1000: of which account at a bank it is, by its number in solander bank list; of all when left out."`
}

// Help gives an example.
func (openAccountCmd) Help() string {
	return "Lines of the bank up to that day are in its opening balance, and are not entered into it again.\n\nExample:\n\n  solander earnings opening account 1000 2400 --day 2030-12-31 --text \"statement of the bank\""
}

// Run enters an opening balance.
func (c *openAccountCmd) Run(d *desk.Open) error {
	in := years.OpeningIn{Account: c.Account, Text: c.Text, Bank: c.Bank}
	var err error
	if in.Amount, err = d.Amount(c.Amount, "amount"); err != nil {
		return err
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	return d.Done(years.Open(d.Ctx, d.Studio, in), in, "%s stood on account %s on %s", in.Amount, c.Account, in.Day)
}

type openCostCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
	Cost  string `arg:"" help:"Of all its prints together."`
	Day   string `placeholder:"DAY" help:"When; on the day of the sale when left out."`
}

// Help gives an example.
func (openCostCmd) Help() string {
	return "It is for prints that were never in the drawer: what a sheet of a run cost is known. Entered again, it takes the place of what was entered before; nothing takes that back.\n\nExample:\n\n  solander earnings opening cost S-1042 18.50"
}

// Run enters what the prints of an order cost.
func (c *openCostCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	in := years.CostIn{Order: o.ID}
	if in.Cost, err = d.Amount(c.Cost, "cost"); err != nil {
		return err
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	return d.Done(years.Cost(d.Ctx, d.Studio, in), in, "the prints of %s cost %s", o.Mark, in.Cost)
}
