package earnings

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"solander/cli/desk"
	"solander/currencies"
	"solander/exchange"
	"solander/money"
)

// ratesCmd are the commands of rates of exchange.
type ratesCmd struct {
	List    ratesListCmd    `cmd:"" default:"1" help:"List rates of exchange, the latest first."`
	Enter   ratesEnterCmd   `cmd:"" help:"Enter the rate of a day."`
	Load    ratesLoadCmd    `cmd:"" help:"Load a file of euro reference rates, as the European Central Bank publishes them (CSV or XML)."`
	Convert ratesConvertCmd `cmd:"" help:"Say what an amount is in another currency."`
	Take    ratesTakeCmd    `cmd:"" help:"Note a payment of an order that came in another currency."`
	Agree   ratesAgreeCmd   `cmd:"" help:"Keep that an order is owed in another currency."`
	Order   ratesOrderCmd   `cmd:"" help:"Say how an order stands in another currency."`
	Gains   ratesGainsCmd   `cmd:"" help:"List payments in other currencies, and what was gained or lost by each."`
}

// Help says how it goes.
func (ratesCmd) Help() string {
	return `Nothing is fetched: rates are entered, or loaded from a file that you took from your central bank. Which rate your books and your tax
ask for is decided by the local rules; ask an adviser.

Example:

  solander earnings rates load eurofxref-hist.csv
  solander earnings rates convert 92.00 EUR USD
  solander earnings rates agree S-1042 EUR --total 95.00
  solander earnings rates take S-1042 95.00 EUR --worth 101.20
  solander earnings rates gains`
}

type ratesListCmd struct {
	From string `placeholder:"DAY" help:"First day; a month back when left out."`
	To   string `placeholder:"DAY" help:"Last day; today when left out."`
}

// Help gives an example.
func (ratesListCmd) Help() string {
	return "Example:\n\n  solander earnings rates list --from 2026-01-01"
}

// Run lists rates.
func (c *ratesListCmd) Run(d *desk.Open) error {
	from, err := desk.Day(c.From, "from")
	if err != nil {
		return err
	}
	to, err := desk.Day(c.To, "to")
	if err != nil {
		return err
	}
	all, err := currencies.List(d.Ctx, d.Studio, from, to)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no rate is kept of these days: solander earnings rates enter EUR USD 1.0804 --day DAY enters one, solander earnings rates load FILE a file of your central bank")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("DAY\tONE\tIS\tSOURCE")
			for _, r := range all {
				row("%s\t%s\t%s %s\t%s", r.Day, r.Base, r.Rate, r.Quote, r.Source)
			}
		})
	})
}

type ratesEnterCmd struct {
	Base   string `arg:"" help:"One of this currency."`
	Quote  string `arg:"" help:"Is so much of this one."`
	Rate   string `arg:"" help:"The rate, with a point."`
	Day    string `required:"" placeholder:"DAY" help:"Of which day."`
	Source string `placeholder:"TEXT" help:"Where it is from."`
}

// Help gives an example.
func (ratesEnterCmd) Help() string {
	return "Example:\n\n  solander earnings rates enter EUR USD 1.0804 --day 2026-01-05"
}

// Run keeps a rate.
func (c *ratesEnterCmd) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	r, err := currencies.Enter(d.Ctx, d.Studio, exchange.Rate{Base: strings.ToUpper(c.Base), Quote: strings.ToUpper(c.Quote), Rate: c.Rate, Day: on, Source: c.Source})
	return d.Done(err, r, "one %s is %s %s on %s", r.Base, r.Rate, r.Quote, r.Day)
}

type ratesLoadCmd struct {
	File string `arg:"" predictor:"file" help:"The file, CSV or XML."`
	Try  bool   `help:"Only say what it would change."`
}

// Help gives an example.
func (ratesLoadCmd) Help() string { return "Example:\n\n  solander earnings rates load eurofxref.xml" }

// Run loads rates.
func (c *ratesLoadCmd) Run(d *desk.Open) error {
	body, err := d.ReadFile(c.File, "file")
	if err != nil {
		return err
	}
	load := currencies.Load
	if c.Try {
		load = currencies.Try
	}
	l, err := load(d.Ctx, d.Studio, filepath.Base(c.File), body)
	return d.Done(err, l, "%d rates of %s to %s, %d of them new", l.Rates, l.From, l.To, l.New)
}

type ratesConvertCmd struct {
	Amount string `arg:"" help:"How much."`
	From   string `arg:"" help:"Of which currency."`
	To     string `arg:"" help:"In which currency it is asked for."`
	Day    string `placeholder:"DAY" help:"On which day; today when left out."`
}

// Help gives an example.
func (ratesConvertCmd) Help() string {
	return "Example:\n\n  solander earnings rates convert 92.00 EUR USD --day 2026-01-05"
}

// Run converts an amount.
func (c *ratesConvertCmd) Run(d *desk.Open) error {
	a, err := foreign(c.Amount, c.From)
	if err != nil {
		return err
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	u, err := currencies.Convert(d.Ctx, d.Studio, a, strings.ToUpper(c.To), on)
	return d.Done(err, u, "%s is %s", u.From, u.To)
}

func foreign(amount, currency string) (money.Amount, error) {
	a, err := money.Parse(amount, strings.ToUpper(currency))
	return a, desk.In(err, "amount")
}
