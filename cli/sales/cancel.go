package sales

import (
	"errors"

	"solander/book"
	"solander/cli/desk"
	"solander/money"
)

type Cancel struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
	Refund string `placeholder:"AMOUNT" help:"What is paid back now, in the currency in which the order is owed."`
}

func (Cancel) Help() string {
	return "Example:\n\n  solander cancel S-1042 --reason \"bought twice by mistake\" --refund 120"
}

func (c *Cancel) Run(d *desk.Open) error {
	o, noOrder := d.OrderNamed(c.Order)
	var refund money.Amount
	noAmount := owedIn(d, o.ID, c.Refund, "refund", &refund)
	if err := errors.Join(noOrder, noAmount); err != nil {
		return err
	}
	in := book.CancelIn{Order: o.ID, Reason: c.Reason, Refund: refund}
	if err := book.Cancel(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	return d.After(o.ID)
}
