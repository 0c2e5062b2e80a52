package sales

import (
	"errors"

	"solander/book"
	"solander/cli/desk"
	"solander/order"
)

type Pay struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Amount string `arg:"" help:"How much."`
	Kind   string `enum:"deposit,balance,refund," default:"" placeholder:"KIND" help:"deposit, balance or refund; when left out, balance if it settles what is owed, else deposit."`
	Day    string `placeholder:"DAY" help:"Day of the payment; today when left out."`
	Note   string `placeholder:"TEXT" help:"A note to it."`
}

func (Pay) Help() string {
	return "Example:\n\n  solander pay S-1042 60.00 --kind balance"
}

func (c *Pay) Run(d *desk.Open) error {
	o, noOrder := d.OrderNamed(c.Order)
	a, noAmount := d.Amount(c.Amount, "amount")
	on, noDay := desk.Day(c.Day, "day")
	if err := errors.Join(noOrder, noAmount, noDay); err != nil { // all that is wrong at once
		return err
	}
	if err := book.Pay(d.Ctx, d.Studio, book.PaymentIn{Order: o.ID, Kind: order.PaymentKind(c.Kind), Amount: a, Day: on, Note: c.Note}); err != nil {
		return err
	}
	return d.After(o.ID)
}
