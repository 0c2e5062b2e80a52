package sales

import (
	"errors"

	"solander/book"
	"solander/cli/desk"
)

type TakeBack struct {
	Order  string  `arg:"" predictor:"order" help:"Mark of the order."`
	Line   []int64 `placeholder:"ID" help:"Only these lines; all when left out."`
	Spoilt bool    `help:"They came back damaged: their sheets are destroyed."`
	Reason string  `required:"" placeholder:"TEXT" help:"Why."`
	Refund string  `placeholder:"AMOUNT" help:"What is paid back now."`
}

func (TakeBack) Help() string {
	return "Example:\n\n  solander take-back S-1042 --spoilt --reason \"corner crushed in the post\" --refund 120"
}

func (c *TakeBack) Run(d *desk.Open) error {
	o, noOrder := d.OrderNamed(c.Order)
	refund, noAmount := d.Amount(c.Refund, "refund")
	if err := errors.Join(noOrder, noAmount); err != nil {
		return err
	}
	in := book.TakeBackIn{Order: o.ID, Lines: c.Line, Spoilt: c.Spoilt, Reason: c.Reason, Refund: refund}
	if err := book.TakeBack(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	return d.After(o.ID)
}
