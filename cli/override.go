package cli

type overrideCmd struct {
	Order  string `arg:"" help:"Mark of the order."`
	Reason string `placeholder:"TEXT" help:"Why; it is recorded for good."`
	Lift   bool   `help:"Take the override back."`
}

func (overrideCmd) Help() string {
	return "Example:\n\n  solander override S-1042 --reason \"gallery pays at the end of the month\""
}

func (c *overrideCmd) Run(d *open) error {
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.Lift {
		err = d.st.LiftOverride(d.ctx, o.ID)
	} else {
		err = d.st.Override(d.ctx, o.ID, c.Reason)
	}
	if err != nil {
		return err
	}
	return d.after(o.ID)
}
