package cli

import (
	"errors"

	"solander/studio"
)

type takeBackCmd struct {
	Order  string  `arg:"" help:"Mark of the order."`
	Line   []int64 `placeholder:"ID" help:"Only these lines; all when left out."`
	Spoilt bool    `help:"They came back damaged: their sheets are destroyed."`
	Reason string  `required:"" placeholder:"TEXT" help:"Why."`
	Refund string  `placeholder:"AMOUNT" help:"What is paid back now."`
}

func (takeBackCmd) Help() string {
	return "Example:\n\n  solander take-back S-1042 --spoilt --reason \"corner crushed in the post\" --refund 120"
}

func (c *takeBackCmd) Run(d *open) error {
	o, noOrder := d.orderNamed(c.Order)
	refund, noAmount := d.amount(c.Refund, "refund")
	if err := errors.Join(noOrder, noAmount); err != nil {
		return err
	}
	in := studio.TakeBackIn{Order: o.ID, Lines: c.Line, Spoilt: c.Spoilt, Reason: c.Reason, Refund: refund}
	if err := d.st.TakeBack(d.ctx, in); err != nil {
		return err
	}
	return d.after(o.ID)
}
