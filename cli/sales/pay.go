package sales

import (
	"errors"

	"solander/book"
	"solander/cli/desk"
	"solander/money"
	"solander/order"
)

type Pay struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Amount string `arg:"" help:"How much."`
	Kind   string `enum:"deposit,balance,refund," default:"" placeholder:"KIND" help:"deposit, balance or refund; when left out, balance if it settles what is owed, else deposit."`
	Day    string `placeholder:"DAY" help:"Day of the payment; today when left out."`
	How    string `enum:"cash,card,other," default:"" placeholder:"HOW" help:"cash, card or other; not said when left out."`
	Note   string `placeholder:"TEXT" help:"A note to it."`
	Fee    string `placeholder:"AMOUNT" help:"What was kept back of it on its way; by the outlet's fee table when left out."`
}

func (Pay) Help() string {
	return "Example:\n\n  solander pay S-1042 60.00 --kind balance"
}

func (c *Pay) Run(d *desk.Open) error {
	o, noOrder := d.OrderNamed(c.Order)
	a, noAmount := d.Amount(c.Amount, "amount")
	on, noDay := desk.Day(c.Day, "day")
	in := book.PaymentIn{Order: o.ID, Kind: order.PaymentKind(c.Kind), Amount: a, Day: on, Note: c.Note, How: order.How(c.How)}
	var noFee error
	if c.Fee != "" {
		var fee money.Amount
		fee, noFee = d.Amount(c.Fee, "fee")
		in.Fee = &fee
	}
	if err := errors.Join(noOrder, noAmount, noDay, noFee); err != nil { // all that is wrong at once
		return err
	}
	if err := book.Pay(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	return d.After(o.ID)
}
