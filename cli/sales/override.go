package sales

import (
	"solander/book"
	"solander/cli/desk"
)

type Override struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Reason string `placeholder:"TEXT" help:"Why; it is recorded for good."`
	Lift   bool   `help:"Take the override back."`
}

func (Override) Help() string {
	return "Example:\n\n  solander override S-1042 --reason \"gallery pays at the end of the month\""
}

func (c *Override) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.Lift {
		err = book.LiftOverride(d.Ctx, d.Studio, o.ID)
	} else {
		err = book.Override(d.Ctx, d.Studio, o.ID, c.Reason)
	}
	if err != nil {
		return err
	}
	return d.After(o.ID)
}
