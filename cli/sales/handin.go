package sales

import (
	"solander/book"
	"solander/dispatch"

	"solander/cli/desk"
)

type HandIn struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
	Day   string `placeholder:"DAY" help:"Day; today when left out."`
}

func (HandIn) Help() string {
	return "The order is one of solander sale --in-person, or was made so by solander amend --in-person. It is paid and signed; undo takes it back.\n\nExample:\n\n  solander hand-in S-1042"
}

func (c *HandIn) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	if err := dispatch.HandIn(d.Ctx, d.Studio, dispatch.HandInIn{Order: o.ID, Day: on}); err != nil {
		return err
	}
	v, err := book.Order(d.Ctx, d.Studio, o.ID)
	if err != nil {
		return err
	}
	return d.ShowOrder(v)
}
