package house

import (
	"io"

	"solander/cli/desk"
	"solander/house"
)

type Promises struct {
	desk.FileOut
	NewAddress bool `help:"Make the secret address under which the web face shows the calendar; the one before ends."`
	EndAddress bool `help:"End that address."`
}

func (Promises) Help() string {
	return "The days of all open orders as a calendar (iCalendar). It names no buyer.\n\nExample:\n\n  solander promises -o promises.ics"
}

func (c *Promises) Run(d *desk.Open) error {
	switch {
	case c.EndAddress:
		if err := house.EndPromiseAddress(d.Ctx, d.Studio); err != nil {
			return err
		}
		return d.Say(map[string]bool{"ended": true}, "the calendar has no address any more")
	case c.NewAddress:
		secret, err := house.NewPromiseAddress(d.Ctx, d.Studio)
		if err != nil {
			return err
		}
		path := "/promises/" + secret + ".ics"
		return d.Say(map[string]string{"path": path}, "%s\n(below the address of solander serve; it is told this once)", path)
	}
	return d.Write(c.FileOut, func(w io.Writer) error { return house.Promises(d.Ctx, d.Studio, w) })
}

type Cards struct {
	Buyer string `arg:"" optional:"" predictor:"buyer" help:"The buyer: name, e-mail address or number; all when left out."`
	desk.FileOut
}

func (Cards) Help() string {
	return "Buyers as cards for an address book (vCard), each with the address its latest order went to.\n\nExample:\n\n  solander cards -o buyers.vcf"
}

func (c *Cards) Run(d *desk.Open) error {
	var id int64
	if c.Buyer != "" {
		var err error
		if id, err = d.BuyerNamed(c.Buyer, "buyer"); err != nil {
			return err
		}
	}
	return d.Write(c.FileOut, func(w io.Writer) error { return house.BuyerCards(d.Ctx, d.Studio, id, w) })
}
