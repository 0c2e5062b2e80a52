// Package earnings is what sales earn, on the command line: fee tables of outlets, what each sale and many together left, and the journal of the
// books with its accounts and balances.
package earnings

import (
	"fmt"
	"io"

	"solander/calendar"
	"solander/charging"
	"solander/cli/desk"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Fees shows the fee table of an outlet, changes it, or says what it keeps of a sale.
type Fees struct {
	Outlet  string `arg:"" predictor:"outlet" help:"The outlet: its number or words of its name."`
	File    string `placeholder:"FILE" predictor:"file" help:"Put the rows of a JSON file in the place of its table (- is the input stream)."`
	Price   string `placeholder:"AMOUNT" help:"Say what it keeps of a print sold at this price."`
	Postage string `placeholder:"AMOUNT" help:"With so much postage charged."`
	Tax     string `placeholder:"AMOUNT" help:"And so much tax."`
	On      string `placeholder:"DAY" help:"On this day; today when left out."`
}

func (Fees) Help() string {
	return `Rows of one charge and day are its tiers; a share is in hundredths of a per cent. See docs/formats/fees.md.

Example:

  solander fees "Paperwren Market"
  solander fees market --price 120 --postage 8.50
  echo '[{"what": "sale", "name": "commission", "share": 650, "of": "postage"}]' | solander fees market --file -`
}

// kept is what is kept of a sale, and of the payment of the whole.
type kept struct {
	Sale    charging.Bill `json:"sale"`
	Payment charging.Bill `json:"payment"`
	Sum     money.Amount  `json:"sum"`
	Left    money.Amount  `json:"left"`
}

func (c *Fees) Run(d *desk.Open) error {
	u, err := d.OutletNamed(c.Outlet)
	if err != nil {
		return err
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return err
	}
	day, err := desk.Day(c.On, "on")
	if err == nil && day.IsZero() {
		day, err = house.Today(d.Ctx, d.Studio)
	}
	if err != nil {
		return err
	}
	switch {
	case c.File != "":
		return c.save(d, u)
	case c.Price != "":
		return c.try(d, u, set, day)
	}
	return d.Show(u.Fees, func(w io.Writer) {
		if len(u.Fees) == 0 {
			fmt.Fprintf(w, "%s keeps nothing of a sale\n", u.Name)
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("FROM\tON\tCHARGE\tKEPT")
			for _, r := range u.Fees {
				from := r.From.String()
				if r.From.IsZero() {
					from = "the beginning"
				}
				row("%s\t%s\t%s\t%s", from, r.What, r.Name, r.Tells())
			}
		})
		fmt.Fprintf(w, "\non %s: %s\n", day, u.Fees.Tells(day))
	})
}

func (c *Fees) save(d *desk.Open, u order.Outlet) error {
	var table charging.Table
	if err := d.ReadJSON(c.File, "file", &table); err != nil {
		return err
	}
	u, err := house.ChangeOutlet(d.Ctx, d.Studio, u.ID, func(is *order.Outlet) error {
		is.Fees = table
		return nil
	})
	return d.Done(err, u.Fees, "the fee table of %s is saved; sales that stand keep their fee", u.Name)
}

func (c *Fees) try(d *desk.Open, u order.Outlet, set studio.Settings, day calendar.Day) error {
	b := charging.Basis{Day: day, Prints: make([]money.Amount, 1)}
	paid := money.Of(0, set.Currency)
	for _, x := range []struct {
		to          *money.Amount
		text, field string
	}{{&b.Prints[0], c.Price, "price"}, {&b.Postage, c.Postage, "postage"}, {&b.Tax, c.Tax, "tax"}} {
		a, err := d.Amount(x.text, x.field)
		if err != nil {
			return err
		}
		if paid, err = paid.Add(a); err != nil {
			return desk.In(err, x.field)
		}
		*x.to = a
	}
	k := kept{Left: paid}
	var err error
	if k.Sale, err = u.Fees.OnSale(b); err != nil {
		return err
	}
	if k.Payment, err = u.Fees.OnPayment(paid, day); err != nil {
		return err
	}
	if k.Sum, err = append(k.Sale[:len(k.Sale):len(k.Sale)], k.Payment...).Sum(); err != nil {
		return err
	}
	if k.Left, err = paid.Sub(k.Sum); err != nil {
		return err
	}
	return d.Show(k, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			for _, bill := range []charging.Bill{k.Sale, k.Payment} {
				for _, p := range bill {
					row("%s\t%s\tof %s\t%s", p.Row.Name, p.Row.Tells(), p.Of, p.Amount)
				}
			}
			row("kept\t\tof %s\t%s", paid, k.Sum)
			row("left\t\t\t%s", k.Left)
		})
	})
}
