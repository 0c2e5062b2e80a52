package earnings

import (
	"errors"
	"io"

	"solander/cli/desk"
	"solander/payouts"
)

// payoutCmd takes a payout of many sales apart.
type payoutCmd struct {
	Outlet string   `arg:"" predictor:"outlet" help:"The outlet that paid."`
	Net    string   `arg:"" help:"The sum that came in."`
	Order  []string `arg:"" predictor:"order" help:"Marks of the orders that it is of."`
	Day    string   `placeholder:"DAY" help:"Day on which it was paid; today when left out."`
	Note   string   `placeholder:"TEXT" help:"A note to payments that are entered by it."`
}

func (payoutCmd) Help() string {
	return `What an order still owes is paid by it. Where the sum is another than the fee table leaves, the difference is shared among the orders by
what their buyers paid, and becomes their fee: the parts come to the sum to the cent.

Example:

  solander earnings payout "Paperwren Market" 412.36 S-1042 S-1044 S-1051`
}

func (c *payoutCmd) Run(d *desk.Open) error {
	u, noOutlet := d.OutletNamed(c.Outlet)
	net, noNet := d.Amount(c.Net, "net")
	day, noDay := desk.Day(c.Day, "day")
	if err := errors.Join(noOutlet, noNet, noDay); err != nil {
		return err
	}
	in := payouts.Payout{Outlet: u.ID, Net: net, Day: day, Note: c.Note}
	for _, mark := range c.Order {
		o, err := d.OrderNamed(mark)
		if err != nil {
			return desk.In(err, "order")
		}
		in.Orders = append(in.Orders, o.ID)
	}
	parts, err := payouts.Take(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(parts, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ORDER\tPAID\tFEE\tRECKONED\tOF PAYMENTS\tLEFT")
			for _, p := range parts {
				row("%s\t%s\t%s\t%s\t%s\t%s", p.Mark, p.Gross.Plain(), p.Fee.Plain(), p.Was.Plain(), p.Payment.Plain(), p.Net.Plain())
			}
			row("in all\t\t\t\t\t%s", net)
		})
	})
}
