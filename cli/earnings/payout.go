package earnings

import (
	"errors"
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/payouts"
)

// payoutCmd is the payouts of outlets.
type payoutCmd struct {
	Take    payoutTake    `cmd:"" default:"withargs" help:"Take a payout of many sales apart and enter it; also without its name."`
	List    payoutList    `cmd:"" help:"The payouts that were entered, the latest first."`
	Show    payoutShow    `cmd:"" help:"One payout with its sales."`
	Propose payoutPropose `cmd:"" help:"Of which sales a sum is likely."`
	Back    payoutBack    `cmd:"" name:"take-back" help:"Take a payout back that was entered wrongly."`
}

type payoutTake struct {
	Outlet string   `arg:"" predictor:"outlet" help:"The outlet that paid."`
	Net    string   `arg:"" help:"The sum that came in."`
	Order  []string `arg:"" predictor:"order" help:"Marks of the orders that it is of."`
	Day    string   `placeholder:"DAY" help:"Day on which it was paid; today when left out."`
	Note   string   `placeholder:"TEXT" help:"A note to payments that are entered by it."`
	Trial  bool     `help:"Tell what it would come to, and keep nothing."`
}

func (payoutTake) Help() string {
	return `What an order still owes is paid by it. Where the sum is another than the fee table leaves, the difference is shared among the orders by
what their buyers paid, and becomes their fee: the parts come to the sum to the cent.

Example:

  solander earnings payout "Paperwren Market" 412.36 S-1042 S-1044 S-1051`
}

func (c *payoutTake) Run(d *desk.Open) error {
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
	take := payouts.Take
	if c.Trial {
		take = payouts.Foresee
	}
	v, err := take(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return showPayout(d, v)
}

func showPayout(d *desk.Open, v payouts.View) error {
	return d.Show(v, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ORDER\tPAID\tFEE\tRECKONED\tOF PAYMENTS\tLEFT")
			for _, p := range v.Parts {
				row("%s\t%s\t%s\t%s\t%s\t%s", p.Mark, p.Gross.Plain(), p.Fee.Plain(), p.Was.Plain(), p.Payment.Plain(), p.Net.Plain())
			}
			row("in all\t\t\t\t\t%s", v.Payout.Net)
		})
		if more := v.More(); !more.IsZero() {
			fmt.Fprintf(w, "by the fees as reckoned it would be %s: %s more was kept\n", v.Reckoned, more)
		}
		if v.Back {
			fmt.Fprintln(w, "it was taken back")
		}
	})
}

type payoutList struct {
	Limit int `default:"50" placeholder:"N" help:"How many."`
	Skip  int `placeholder:"N" help:"Leave out so many of the latest."`
}

func (payoutList) Help() string { return "Example:\n\n  solander earnings payout list --limit 10" }

func (c *payoutList) Run(d *desk.Open) error {
	if c.Limit < 1 || c.Skip < 0 {
		return fault.Invalidf("limit", "so many cannot be listed").ToMend("use --limit 1 or more, and --skip 0 or more")
	}
	all, err := payouts.List(d.Ctx, d.Studio, c.Skip, c.Limit)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no payout is entered yet: solander earnings payout OUTLET NET ORDER ... enters one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("PAYOUT\tDAY\tOUTLET\tSUM\t")
			for _, p := range all {
				row("%d\t%s\t%s\t%s\t%s", p.ID, p.Day, p.OutletName, p.Net, map[bool]string{true: "taken back"}[p.Back])
			}
		})
	})
}

type payoutShow struct {
	Payout int64 `arg:"" help:"Its number in the list."`
}

func (payoutShow) Help() string { return "Example:\n\n  solander earnings payout show 3" }

func (c *payoutShow) Run(d *desk.Open) error {
	v, err := payouts.One(d.Ctx, d.Studio, c.Payout)
	if err != nil {
		return err
	}
	return showPayout(d, v)
}

type payoutPropose struct {
	Outlet string `arg:"" predictor:"outlet" help:"The outlet that paid."`
	Net    string `arg:"" help:"The sum that came in."`
	Day    string `placeholder:"DAY" help:"Of sales up to this day; today when left out."`
}

func (payoutPropose) Help() string {
	return `Of all runs of neighbouring sales that were not paid out yet, the one that comes nearest to the sum. Nothing is entered.

Example:

  solander earnings payout propose "Paperwren Market" 412.36`
}

func (c *payoutPropose) Run(d *desk.Open) error {
	u, noOutlet := d.OutletNamed(c.Outlet)
	net, noNet := d.Amount(c.Net, "net")
	day, noDay := desk.Day(c.Day, "day")
	if err := errors.Join(noOutlet, noNet, noDay); err != nil {
		return err
	}
	all, err := payouts.Propose(d.Ctx, d.Studio, u.ID, net, day)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ORDER\tDAY\tPAID\tLEFT\t")
			for _, o := range all {
				row("%s\t%s\t%s\t%s\t%s", o.Mark, o.Day, o.Gross.Plain(), o.Left.Plain(), map[bool]string{true: "proposed"}[o.Proposed])
			}
		})
	})
}

type payoutBack struct {
	Payout int64 `arg:"" help:"Its number in the list."`
}

func (payoutBack) Help() string {
	return `Payments that it noted are taken back, and each order has the fee again that it had before.

Example:

  solander earnings payout take-back 3`
}

func (c *payoutBack) Run(d *desk.Open) error {
	v, err := payouts.TakeBack(d.Ctx, d.Studio, c.Payout)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) { fmt.Fprintf(w, "payout %d of %s is taken back\n", v.ID, v.Payout.Net) })
}
