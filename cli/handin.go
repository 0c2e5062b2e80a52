package cli

import "solander/studio"

type handInCmd struct {
	Order string `arg:"" help:"Mark of the order."`
	Day   string `placeholder:"DAY" help:"Day; today when left out."`
}

func (handInCmd) Help() string {
	return "The order is one of solander sale --in-person, or was made so by solander amend --in-person. It is paid and signed; undo takes it back.\n\nExample:\n\n  solander hand-in S-1042"
}

func (c *handInCmd) Run(d *open) error {
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	if err := d.st.HandIn(d.ctx, studio.HandInIn{Order: o.ID, Day: on}); err != nil {
		return err
	}
	v, err := d.st.Order(d.ctx, o.ID)
	if err != nil {
		return err
	}
	return d.showOrder(v)
}
