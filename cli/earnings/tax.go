package earnings

import (
	"fmt"
	"io"
	"strconv"

	"solander/cli/desk"
	"solander/tax"
	"solander/taxing"
)

const caution = "This is no tax advice: which rate applies, and to what, your local rules decide. Ask an adviser.\n\n"

// taxRates are the commands of the rates.
type taxRates struct {
	List  listCmd  `cmd:"" default:"1" help:"List the rates that were entered."`
	Enter enterCmd `cmd:"" help:"Enter a rate of a country or state, from a day on."`
	Load  loadCmd  `cmd:"" help:"Load rates from a CSV file."`
	Drop  dropCmd  `cmd:"" help:"Take a rate out."`
}

// Help says what they are for.
func (taxRates) Help() string {
	return caution + "No rate is known by the program itself, and none is guessed.\n\nExample:\n\n  solander earnings tax-rates enter US VA 6.5 --from 2031-01-01\n  solander earnings tax-rates load rates.csv"
}

type listCmd struct{}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander earnings tax-rates list" }

// Run lists the rates.
func (listCmd) Run(d *desk.Open) error {
	all, err := taxing.Rates(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no rate is entered, and none is guessed: solander earnings tax-rates enter COUNTRY REGION PERCENT --from DAY enters one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("ID\tPLACE\tFROM\tRATE\tNAME\tHOW\tSOURCE")
			for _, r := range all {
				row("%d\t%s\t%s\t%s\t%s\t%s\t%s", r.ID, tax.PlaceName(r.Country, r.Region), r.From, r.PerCent(), r.Name, how(r), r.Source)
			}
		})
	})
}

func how(r tax.Rate) string {
	text := "added to prices"
	if r.Inside {
		text = "inside prices"
	}
	if r.Postage {
		text += ", also on postage"
	}
	return text
}

type enterCmd struct {
	Country string `arg:"" help:"The country, by its two letters or its name."`
	Region  string `arg:"" help:"The state, by its letters or its name; all for the whole country."`
	Rate    string `arg:"" help:"In per cent, like 6.25; 0 where there is no tax."`
	From    string `required:"" placeholder:"DAY" help:"From this day on."`
	Postage bool   `help:"Postage is taxed, too."`
	Inside  bool   `help:"Prices hold it already; else it is added to them."`
	Name    string `placeholder:"TEXT" help:"What it is called on papers; Tax when left out."`
	Source  string `placeholder:"TEXT" help:"Where you have it from."`
}

// Help gives an example.
func (enterCmd) Help() string {
	return caution + "Example:\n\n  solander earnings tax-rates enter US VA 6.5 --from 2031-01-01 --name \"Sales tax\""
}

// Run enters a rate.
func (c *enterCmd) Run(d *desk.Open) error {
	r := tax.Rate{Country: c.Country, Region: c.Region, Postage: c.Postage, Inside: c.Inside, Name: c.Name, Source: c.Source}
	if c.Region == "all" {
		r.Region = ""
	}
	var err error
	if r.Rate, err = tax.ParsePerCent(c.Rate); err != nil {
		return err
	}
	if r.From, err = desk.Day(c.From, "from"); err != nil {
		return err
	}
	r = r.Tidy()
	return d.Done(taxing.Enter(d.Ctx, d.Studio, r), r, "%s from %s on: %s, %s", tax.PlaceName(r.Country, r.Region), r.From, r.PerCent(), how(r))
}

type loadCmd struct {
	File string `arg:"" predictor:"file" help:"The file (- is the input stream)."`
}

// Help says how the file is written.
func (loadCmd) Help() string {
	return caution + `The file is comma-separated text with a head: country,region,from,rate, and if you like postage,inside,name,source. All of its rates are
kept or none; one of the same place and day takes the place of the one before.

Example:

  solander earnings tax-rates load rates.csv`
}

// Run loads rates.
func (c *loadCmd) Run(d *desk.Open) error {
	data, err := d.ReadFile(c.File, "file")
	if err != nil {
		return err
	}
	rates, err := tax.Read(data)
	if err != nil {
		return err
	}
	return d.Done(taxing.Enter(d.Ctx, d.Studio, rates...), rates, "%d rates are entered", len(rates))
}

type dropCmd struct {
	ID int64 `arg:"" help:"Which rate, by its number in the list."`
}

// Help gives an example.
func (dropCmd) Help() string { return "Example:\n\n  solander earnings tax-rates drop 3" }

// Run takes a rate out.
func (c *dropCmd) Run(d *desk.Open) error {
	return d.Done(desk.In(taxing.Drop(d.Ctx, d.Studio, c.ID), "id"), map[string]int64{"dropped": c.ID}, "rate %d is taken out", c.ID)
}

// resaleCmds are the commands of resale certificates.
type resaleCmds struct {
	List resalesCmd   `cmd:"" default:"1" help:"List resale certificates."`
	Add  addResaleCmd `cmd:"" help:"Keep the resale certificate of a buyer: no tax is taken of sales to her there."`
	End  endResaleCmd `cmd:"" help:"End one with a day."`
}

// Help says what they are for.
func (resaleCmds) Help() string {
	return caution + "Example:\n\n  solander earnings resale add \"Lumen Gallery\" US VA --number 12-77 --from 2031-01-01"
}

type resalesCmd struct {
	Buyer string `placeholder:"BUYER" predictor:"buyer" help:"Of one buyer."`
}

// Help gives an example.
func (resalesCmd) Help() string { return "Example:\n\n  solander earnings resale list" }

// Run lists certificates.
func (c *resalesCmd) Run(d *desk.Open) error {
	var buyer int64
	if c.Buyer != "" {
		var err error
		if buyer, err = d.BuyerNamed(c.Buyer, "buyer"); err != nil {
			return err
		}
	}
	all, err := taxing.Resales(d.Ctx, d.Studio, buyer)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no certificate is kept yet: solander earnings resale add BUYER COUNTRY adds one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("ID\tBUYER\tPLACE\tNUMBER\tFROM\tUNTIL")
			for _, c := range all {
				until := "no end"
				if !c.Until.IsZero() {
					until = c.Until.String()
				}
				row("%d\t%d %s\t%s\t%s\t%s\t%s", c.ID, c.Buyer, c.Name, tax.PlaceName(c.Country, c.Region), c.Number, c.From, until)
			}
		})
	})
}

type addResaleCmd struct {
	Buyer   string `arg:"" predictor:"buyer" help:"Whose: number, name or e-mail address."`
	Country string `arg:"" help:"The country where it counts."`
	Region  string `arg:"" help:"The state; all for the whole country."`
	Number  string `required:"" placeholder:"TEXT" help:"What stands on it."`
	From    string `required:"" placeholder:"DAY" help:"From this day on."`
	Until   string `placeholder:"DAY" help:"Its last day; without end when left out."`
}

// Help gives an example.
func (addResaleCmd) Help() string {
	return caution + "Example:\n\n  solander earnings resale add \"Lumen Gallery\" US VA --number 12-77 --from 2031-01-01"
}

// Run keeps a certificate.
func (c *addResaleCmd) Run(d *desk.Open) error {
	id, err := d.BuyerNamed(c.Buyer, "buyer")
	if err != nil {
		return err
	}
	x := tax.Certificate{Buyer: id, Country: c.Country, Region: c.Region, Number: c.Number}
	if c.Region == "all" {
		x.Region = ""
	}
	if x.From, err = desk.Day(c.From, "from"); err != nil {
		return err
	}
	if x.Until, err = desk.Day(c.Until, "until"); err != nil {
		return err
	}
	x, err = taxing.AddResale(d.Ctx, d.Studio, x)
	return d.Done(err, x, "certificate %s counts in %s from %s on", x.Number, tax.PlaceName(x.Country, x.Region), x.From)
}

type endResaleCmd struct {
	ID    int64  `arg:"" help:"Which, by its number in the list."`
	Until string `placeholder:"DAY" help:"Its last day; today when left out."`
}

// Help gives an example.
func (endResaleCmd) Help() string { return "Example:\n\n  solander earnings resale end 2" }

// Run ends a certificate.
func (c *endResaleCmd) Run(d *desk.Open) error {
	until, err := desk.Day(c.Until, "until")
	if err != nil {
		return err
	}
	err = taxing.EndResale(d.Ctx, d.Studio, c.ID, until)
	return d.Done(desk.In(err, "id"), map[string]string{"ended": strconv.FormatInt(c.ID, 10)}, "certificate %d is ended", c.ID)
}

// taxCmds are the commands of the tax of sales.
type taxCmds struct {
	Return returnCmd `cmd:"" help:"What a return asks for of some days, by country and state."`
	Order  orderCmd  `cmd:"" help:"What the rates say of an order; with --charge, let it bear that."`
}

// Help says what they are for.
func (taxCmds) Help() string {
	return caution + "Example:\n\n  solander earnings tax order S-1042"
}

type orderCmd struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Charge bool   `help:"Set the tax of the order to what the rates say."`
}

// Help gives an example.
func (orderCmd) Help() string {
	return caution + "Example:\n\n  solander earnings tax order S-1042 --charge"
}

// Run says what the rates say of an order.
func (c *orderCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.Charge {
		charged, err := taxing.Charge(d.Ctx, d.Studio, o.ID)
		return d.Done(err, charged, "%s bears %s of tax now", o.Mark, charged)
	}
	a, err := taxing.OfOrder(d.Ctx, d.Studio, o.ID)
	return d.Done(err, a, "%s, to %s: %s; the order bears %s on top", o.Mark, a.Place, a.Words(), a.Charged)
}

type returnCmd struct {
	From  string `required:"" placeholder:"DAY" help:"The first day of the period."`
	Until string `required:"" placeholder:"DAY" help:"The last day of the period."`
	CSV   bool   `help:"As CSV, a place a row."`
}

// Help gives an example.
func (returnCmd) Help() string {
	return caution + "Example:\n\n  solander earnings tax return --from 2031-01-01 --until 2031-03-31"
}

// Run shows what a return asks for.
func (c *returnCmd) Run(d *desk.Open) error {
	var in taxing.ReturnIn
	var err error
	if in.From, err = desk.Day(c.From, "from"); err != nil {
		return err
	}
	if in.Until, err = desk.Day(c.Until, "until"); err != nil {
		return err
	}
	v, err := taxing.Return(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	if c.CSV {
		return taxing.WriteCSV(d.Out, v)
	}
	return d.Show(v, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("PLACE\tORDERS\tSALES\tBY OUTLETS\tRESALE\tNO RATE\tTAXED\tTAX\tBY THE RATES")
			print := func(name string, r tax.Row) {
				row("%s\t%d\t%s\t%s\t%s\t%s\t%s\t%s\t%s", name, r.Orders, r.Sales.Plain(), r.ByOutlet.Plain(), r.Exempt.Plain(), r.NoRate.Plain(), r.Taxed.Plain(), r.Tax.Plain(), r.ByRate.Plain())
			}
			for _, r := range v.Rows {
				print(r.Place(), r)
			}
			print("in all", v.All)
		})
		if len(v.Rows) == 0 {
			fmt.Fprintln(w, "no sale left the house in these days, and none came back: there is nothing to be told of them")
		}
	})
}
