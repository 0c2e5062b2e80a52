package cli

import (
	"errors"

	"solander/order"
	"solander/studio"
)

type payCmd struct {
	Order  string `arg:"" help:"Mark of the order."`
	Amount string `arg:"" help:"How much."`
	Kind   string `enum:"deposit,balance,refund," default:"" placeholder:"KIND" help:"deposit, balance or refund; when left out, balance if it settles what is owed, else deposit."`
	Day    string `placeholder:"DAY" help:"Day of the payment; today when left out."`
	Note   string `placeholder:"TEXT" help:"A note to it."`
}

func (payCmd) Help() string {
	return "Example:\n\n  solander pay S-1042 60.00 --kind balance"
}

func (c *payCmd) Run(d *open) error {
	o, noOrder := d.orderNamed(c.Order)
	a, noAmount := d.amount(c.Amount, "amount")
	on, noDay := day(c.Day, "day")
	if err := errors.Join(noOrder, noAmount, noDay); err != nil { // all that is wrong at once
		return err
	}
	if err := d.st.Pay(d.ctx, studio.PaymentIn{Order: o.ID, Kind: order.PaymentKind(c.Kind), Amount: a, Day: on, Note: c.Note}); err != nil {
		return err
	}
	return d.after(o.ID)
}
