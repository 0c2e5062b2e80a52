package cli

type orderCmd struct {
	Order string `arg:"" help:"Mark of the order."`
}

func (orderCmd) Help() string { return "Example:\n\n  solander order S-1042" }

func (c *orderCmd) Run(d *open) error {
	v, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	return d.showOrder(v)
}
