package sales

import "solander/cli/desk"

type Order struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
}

func (Order) Help() string { return "Example:\n\n  solander order S-1042" }

func (c *Order) Run(d *desk.Open) error {
	v, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	return d.ShowOrder(v)
}
