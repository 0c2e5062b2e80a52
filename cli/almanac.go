package cli

import (
	"io"
)

type promisesCmd struct {
	fileOut
	NewAddress bool `help:"Make the secret address under which the web face shows the calendar; the one before ends."`
	EndAddress bool `help:"End that address."`
}

func (promisesCmd) Help() string {
	return "The days of all open orders as a calendar (iCalendar). It names no buyer.\n\nExample:\n\n  solander promises -o promises.ics"
}

func (c *promisesCmd) Run(d *open) error {
	switch {
	case c.EndAddress:
		if err := d.st.EndPromiseAddress(d.ctx); err != nil {
			return err
		}
		return d.say(map[string]bool{"ended": true}, "the calendar has no address any more")
	case c.NewAddress:
		secret, err := d.st.NewPromiseAddress(d.ctx)
		if err != nil {
			return err
		}
		path := "/promises/" + secret + ".ics"
		return d.say(map[string]string{"path": path}, "%s\n(below the address of solander serve; it is told this once)", path)
	}
	return d.write(c.fileOut, func(w io.Writer) error { return d.st.Promises(d.ctx, w) })
}

type cardsCmd struct {
	Buyer int64 `arg:"" optional:"" help:"Number of the buyer; all when left out."`
	fileOut
}

func (cardsCmd) Help() string {
	return "Buyers as cards for an address book (vCard), each with the address its latest order went to.\n\nExample:\n\n  solander cards -o buyers.vcf"
}

func (c *cardsCmd) Run(d *open) error {
	return d.write(c.fileOut, func(w io.Writer) error { return d.st.BuyerCards(d.ctx, c.Buyer, w) })
}
