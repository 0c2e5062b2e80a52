package sales

import (
	"errors"

	"solander/book"
	"solander/cli/desk"
	"solander/money"
)

type TakeBack struct {
	Order  string  `arg:"" predictor:"order" help:"Mark of the order."`
	Line   []int64 `placeholder:"ID" help:"Only these lines; all when left out."`
	Spoilt bool    `help:"They came back damaged: their sheets are destroyed."`
	Reason string  `required:"" placeholder:"TEXT" help:"Why."`
	Refund string  `placeholder:"AMOUNT" help:"What is paid back now, in the currency in which the order is owed."`
}

func (TakeBack) Help() string {
	return "Example:\n\n  solander take-back S-1042 --spoilt --reason \"corner crushed in the post\" --refund 120"
}

func (c *TakeBack) Run(d *desk.Open) error {
	o, noOrder := d.OrderNamed(c.Order)
	var refund money.Amount
	noAmount := owedIn(d, o.ID, c.Refund, "refund", &refund)
	if err := errors.Join(noOrder, noAmount); err != nil {
		return err
	}
	in := book.TakeBackIn{Order: o.ID, Lines: c.Line, Spoilt: c.Spoilt, Reason: c.Reason, Refund: refund}
	if err := book.TakeBack(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	return d.After(o.ID)
}
