package sales

import (
	"fmt"
	"io"
	"strings"

	"solander/buyers"
	"solander/cli/desk"
	"solander/order"
)

type Buyer struct {
	Show   buyerShowCmd   `cmd:"" default:"withargs" help:"Show a buyer with every order, or correct who it is."`
	Export buyerExportCmd `cmd:"" help:"Write everything that is kept of a buyer: a page, JSON and CSV in one ZIP."`
	Erase  buyerEraseCmd  `cmd:"" help:"Erase a buyer: what would go, and what stays; with --yes it is done."`
}

func (Buyer) Help() string {
	return `What is left out stays as it is. The addresses of orders stay: solander amend changes them.

Example:

  solander buyer "Ines Halloran"
  solander buyer 17 --email ines@example.org
  solander buyer export 17 buyer-17.zip
  solander buyer erase 17`
}

type buyerShowCmd struct {
	Buyer string  `arg:"" predictor:"buyer" help:"The buyer: the name, the e-mail address, or the number."`
	Name  *string `placeholder:"TEXT" help:"Name as it is really written."`
	Email *string `placeholder:"TEXT" help:"E-mail address."`
	Phone *string `placeholder:"TEXT" help:"Telephone number."`
	Note  *string `placeholder:"TEXT" help:"Note to yourself."`
}

func (buyerShowCmd) Help() string { return "Example:\n\n  solander buyer show 17" }

func (c *buyerShowCmd) Run(d *desk.Open) error {
	id, err := d.BuyerNamed(c.Buyer, "buyer")
	if err != nil {
		return err
	}
	v, err := buyers.Buyer(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	if c.Name != nil || c.Email != nil || c.Phone != nil || c.Note != nil {
		if v.Buyer, err = buyers.ChangeBuyer(d.Ctx, d.Studio, id, c.change); err != nil {
			return err
		}
	}
	return d.Show(v, func(w io.Writer) { printBuyer(w, v) })
}

// change takes over what was given.
func (c *buyerShowCmd) change(b *order.Buyer) error {
	for _, x := range []struct{ to, given *string }{{&b.Name, c.Name}, {&b.Email, c.Email}, {&b.Phone, c.Phone}, {&b.Note, c.Note}} {
		if x.given != nil {
			*x.to = *x.given
		}
	}
	return nil
}

func printBuyer(w io.Writer, v buyers.BuyerView) {
	fmt.Fprintf(w, "buyer %d %s\n", v.ID, strings.Join(desk.Filled(v.Name, v.Email, v.Phone), ", "))
	if v.Note != "" {
		fmt.Fprintln(w, v.Note)
	}
	for _, x := range v.Writings {
		fmt.Fprintf(w, "also written: %s\n", strings.Join(desk.Filled(x.Name, x.Email, x.Phone), ", "))
	}
	for _, x := range v.Likely {
		fmt.Fprintf(w, "perhaps the same person: buyer %d %s (%s)\n", x.ID, strings.Join(desk.Filled(x.Name, x.Email), ", "), x.Rule)
	}
	for _, a := range v.Places {
		fmt.Fprintf(w, "address: %s\n", strings.Join(desk.Filled(a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country), ", "))
	}
	for _, n := range v.Numbers {
		fmt.Fprintf(w, "print: %s, %s\n", strings.Join(desk.Filled(n.Label, n.Title), " "), n.Order)
	}
	if len(v.Orders) > 0 {
		fmt.Fprintf(w, "orders: %d; paid %s of %s, %s\n", v.Count, v.Paid, v.Due, order.OwedInWords(v.Owed))
		printOrders(w, v.Orders)
	}
}
