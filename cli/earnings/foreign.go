package earnings

import (
	"fmt"
	"io"
	"strings"

	"solander/book"
	"solander/cli/desk"
	"solander/currencies"
	"solander/money"
	"solander/order"
)

type ratesTakeCmd struct {
	Order    string `arg:"" predictor:"order" help:"Mark of the order."`
	Amount   string `arg:"" help:"How much came."`
	Currency string `arg:"" help:"Of which currency."`
	Worth    string `placeholder:"AMOUNT" help:"What the bank made of it, in the book's currency; by the rate of the day when left out."`
	Refund   bool   `help:"It was paid back."`
	Day      string `placeholder:"DAY" help:"Day of the payment; today when left out."`
}

// Help gives an example.
func (ratesTakeCmd) Help() string {
	return "Example:\n\n  solander earnings rates take S-1042 92.00 EUR --worth 99.10"
}

// Run notes the payment.
func (c *ratesTakeCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	in := book.PaymentIn{Order: o.ID}
	if c.Refund {
		in.Kind = order.Refund
	}
	if in.Amount, err = foreign(c.Amount, c.Currency); err != nil {
		return err
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	if in.Worth, err = desk.Perhaps(c.Worth, o.Postage.Currency, "worth"); err != nil {
		return err
	}
	t, err := book.TakeAbroad(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	if t.Came == nil {
		return d.Say(t, "%s: %s noted, which is the book's currency; %s", o.Mark, t.Settled, order.OwedInWords(t.Left))
	}
	left := order.OwedInWords(t.Left)
	if t.Still.Currency != "" {
		left = inBoth(t.Still, t.Left)
	}
	return d.Say(t, "%s: %s, worth %s, settles %s, a gain of %s; %s", o.Mark, t.Amount, t.Worth, t.Settled, t.Gain, left)
}

type ratesAgreeCmd struct {
	Order    string `arg:"" predictor:"order" help:"Mark of the order."`
	Currency string `arg:"" optional:"" help:"In which currency it is owed."`
	Total    string `placeholder:"AMOUNT" help:"What it comes to in that currency; by the rate of the day when left out."`
	Day      string `placeholder:"DAY" help:"Day of the rate; today when left out."`
	End      bool   `help:"It is owed in the book's currency again."`
}

// Help gives an example.
func (ratesAgreeCmd) Help() string {
	return `The order's own figures stay in the book's currency. An order that was changed since is agreed anew. Its papers are in the currency agreed, with
the rate, and their tax in the book's beside it; which rate they must show is decided by the local rules; ask an adviser. A new sale is agreed so
by solander sale --currency.

Example:

  solander earnings rates agree S-1042 EUR --total 95.00
  solander earnings rates agree S-1042 --end`
}

// Run keeps it.
func (c *ratesAgreeCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.End {
		return d.Done(currencies.Part(d.Ctx, d.Studio, o.ID, nil), o.Mark, "%s is owed in %s again", o.Mark, o.Postage.Currency)
	}
	in := currencies.AgreeIn{Order: o.ID, Currency: strings.ToUpper(c.Currency)}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	if in.Total, err = desk.Perhaps(c.Total, in.Currency, "total"); err != nil {
		return err
	}
	a, err := currencies.Agree(d.Ctx, d.Studio, in)
	return d.Done(err, a, "%s is owed as %s, which stands for %s", o.Mark, a.Total, a.Book)
}

type ratesOrderCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
}

// Help gives an example.
func (ratesOrderCmd) Help() string { return "Example:\n\n  solander earnings rates order S-1042" }

// Run says how it stands.
func (c *ratesOrderCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	st, err := currencies.Of(d.Ctx, d.Studio, o.ID)
	if err != nil {
		return err
	}
	return d.Show(st, func(w io.Writer) {
		if !st.Agreed.Stands() {
			fmt.Fprintf(w, "%s is owed in %s: %s\n", st.Mark, st.Book.Currency, order.OwedInWords(st.Book))
		} else {
			fmt.Fprintf(w, "%s was agreed as %s for %s; %s\n", st.Mark, st.Agreed.Total, st.Agreed.Book, inBoth(st.Owed, st.Book))
		}
		if st.Changed {
			fmt.Fprintln(w, "it was changed since: agree its total anew")
		}
		payments(w, st.Payments)
	})
}

// inBoth says what is owed in the currency agreed, and what that is in the book's.
func inBoth(agreed, book money.Amount) string {
	if agreed.IsZero() {
		return order.OwedInWords(agreed)
	}
	_, much := order.OwedAs(book)
	return order.OwedInWords(agreed) + " (" + much.String() + ")"
}

func payments(w io.Writer, all []currencies.Foreign) {
	if len(all) == 0 {
		return
	}
	desk.Table(w, func(row func(string, ...any)) {
		row("DAY\tORDER\tCAME\tWORTH\tSETTLED\tGAIN")
		for _, f := range all {
			back := ""
			if f.Refund {
				back = " back"
			}
			row("%s\t%s\t%s%s\t%s\t%s\t%s", f.Day, f.Mark, f.Amount, back, f.Worth, f.Settled, f.Gain)
		}
	})
}

type ratesGainsCmd struct {
	desk.FileOut
}

// Help gives an example.
func (ratesGainsCmd) Help() string {
	return `What rates changed of money that is still owed is in none of these figures: ask an adviser about the end of a year.

Example:

  solander earnings rates gains
  solander earnings rates gains -o gains.csv`
}

// Run lists them.
func (c *ratesGainsCmd) Run(d *desk.Open) error {
	g, err := currencies.Realised(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if c.Output != "" {
		return d.Write(c.FileOut, func(w io.Writer) error { return currencies.WriteCSV(w, g) })
	}
	return d.Show(g, func(w io.Writer) {
		if len(g.Payments) == 0 {
			fmt.Fprintln(w, "no payment came in another currency: solander earnings rates take ORDER AMOUNT notes one")
			return
		}
		payments(w, g.Payments)
		fmt.Fprintln(w)
		desk.Table(w, func(row func(string, ...any)) {
			row("YEAR\tCAME\tGAIN")
			for _, s := range g.Sums {
				row("%d\t%s\t%s", s.Year, s.Came, s.Gain)
			}
		})
	})
}
