package cli

import (
	"errors"

	"solander/studio"
)

type cancelCmd struct {
	Order  string `arg:"" help:"Mark of the order."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
	Refund string `placeholder:"AMOUNT" help:"What is paid back now."`
}

func (cancelCmd) Help() string {
	return "Example:\n\n  solander cancel S-1042 --reason \"bought twice by mistake\" --refund 120"
}

func (c *cancelCmd) Run(d *open) error {
	o, noOrder := d.orderNamed(c.Order)
	refund, noAmount := d.amount(c.Refund, "refund")
	if err := errors.Join(noOrder, noAmount); err != nil {
		return err
	}
	in := studio.CancelIn{Order: o.ID, Reason: c.Reason, Refund: refund}
	if err := d.st.Cancel(d.ctx, in); err != nil {
		return err
	}
	return d.after(o.ID)
}
