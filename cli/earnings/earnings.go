package earnings

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/journal"
	"solander/money"
)

// Earnings are the commands.
type Earnings struct {
	Figures  figuresCmd  `cmd:"" default:"withargs" help:"What was earned in some days, by a grouping; also without its name."`
	Order    earnedCmd   `cmd:"" help:"What one order earned, part by part."`
	Payout   payoutCmd   `cmd:"" help:"A payout of many sales in one sum, taken apart again."`
	Prices   pricesCmd   `cmd:"" help:"What price steps earned, and what others would bring."`
	Journal  journalCmd  `cmd:"" help:"Write the journal: plain text that accounting programs read, or CSV."`
	Balance  balanceCmd  `cmd:"" help:"The trial balance: what stands on every account."`
	Accounts accountsCmd `cmd:"" help:"The accounts, and what they are called."`
	Year     yearCmd     `cmd:"" help:"What a year came to: sales, costs, stock at its end; each row traced to its entries."`
	Close    closeCmd    `cmd:"" help:"Close a period for good, or list what is closed."`
	Opening  openingCmd  `cmd:"" help:"Opening balances, and the costs of orders that were moved in."`
	TaxRates taxRates    `cmd:"" name:"tax-rates" help:"Rates of tax by country and state: entered or loaded, never guessed."`
	Tax      taxCmds     `cmd:"" help:"The tax of an order by the rates."`
	Rates    ratesCmd    `cmd:"" help:"Rates of exchange: enter, load, convert; a payment that came in another currency."`
	Resale   resaleCmds  `cmd:"" help:"Resale certificates, by which a sale bears no tax."`
}

// days are the flags of a command about some days.
type days struct {
	From string `placeholder:"DAY" help:"The first day; without it, from the first there is."`
	To   string `placeholder:"DAY" help:"The last day; without it, to the last there is."`
}

func (s days) span() (out journal.Span, err error) {
	if out.From, err = desk.Day(s.From, "from"); err != nil {
		return out, err
	}
	out.To, err = desk.Day(s.To, "to")
	return out, err
}

type journalCmd struct {
	days
	Output string `short:"o" required:"" placeholder:"FILE" predictor:"file" help:"The file (- is the output stream)."`
	CSV    bool   `help:"As CSV, a row a line of an entry, instead of plain text."`
	Force  bool   `help:"Replace the file when it exists."`
}

func (journalCmd) Help() string {
	return `Every sale, payment, refund, fee, postage and cost is entered twice, and nothing that was entered is ever changed. The
form is in docs/formats/journal.md. It is no advice: ask an adviser what a return needs.

Example:

  solander earnings journal -o studio.journal
  solander earnings journal --from 2026-01-01 --to 2026-12-31 --csv -o 2026.csv`
}

func (c *journalCmd) Run(d *desk.Open) error {
	span, err := c.span()
	if err != nil {
		return err
	}
	return d.ToFile(c.Output, c.Force, func(w io.Writer) error { return journal.Write(d.Ctx, d.Studio, span, c.CSV, w) })
}

type balanceCmd struct{ days }

func (balanceCmd) Help() string {
	return `All debits of a currency are all its credits, always.

Example:

  solander earnings balance
  solander earnings balance --from 2026-01-01 --to 2026-12-31`
}

func (c *balanceCmd) Run(d *desk.Open) error {
	span, err := c.span()
	if err != nil {
		return err
	}
	b, err := journal.Balance(d.Ctx, d.Studio, span)
	if err != nil {
		return err
	}
	return d.Show(b, func(w io.Writer) {
		if len(b.Rows) == 0 {
			fmt.Fprintln(w, "nothing stands on any account of these days: the first payment, hand-over or run that comes in enters something")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("CODE\tACCOUNT\tDEBIT\tCREDIT\t")
			for _, x := range b.Rows {
				row("%s\t%s\t%s\t%s\t%s", x.Code, x.Name, side(x.Debit, x.Of), side(x.Credit, x.Of), x.Of)
			}
			for _, t := range b.Totals {
				row("\tin all\t%s\t%s\t%s", money.Of(t.Debit, t.Currency).Plain(), money.Of(t.Credit, t.Currency).Plain(), t.Currency)
			}
		})
		if !b.Closed.IsZero() {
			fmt.Fprintf(w, "closed up to %s\n", b.Closed)
		}
	})
}

func side(n int64, currency string) string {
	if n == 0 {
		return ""
	}
	return money.Of(n, currency).Plain()
}

type accountsCmd struct {
	Show   accountsShowCmd `cmd:"" default:"withargs" help:"List them (this is what accounts alone does)."`
	Rename renameCmd       `cmd:"" help:"Call an account otherwise."`
}

type accountsShowCmd struct{}

func (accountsShowCmd) Help() string { return "Example:\n\n  solander earnings accounts" }

func (c *accountsShowCmd) Run(d *desk.Open) error {
	all, err := journal.Accounts(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("CODE\tACCOUNT\tIS\tKEY")
			for _, a := range all {
				row("%s\t%s\t%s\t%s", a.Code, a.Name, a.Class, a.Key)
			}
		})
	})
}

type renameCmd struct {
	Account string `arg:"" help:"Its code or key."`
	Name    string `arg:"" optional:"" help:"What it is called from now on; without it, as the trade does."`
}

func (renameCmd) Help() string {
	return "Example:\n\n  solander earnings accounts rename 1100 \"Paid and not yet in the bank\""
}

func (c *renameCmd) Run(d *desk.Open) error {
	a, err := journal.Rename(d.Ctx, d.Studio, c.Account, c.Name)
	return d.Done(err, a, "account %s: %s", a.Code, a.Name)
}
