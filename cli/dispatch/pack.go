package dispatch

import (
	"io"

	"solander/cli/desk"
	"solander/dispatch"
)

type Pack struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
	Total string `placeholder:"AMOUNT" help:"The plan's total as you saw it; it is refused when the plan is another one now."`
}

func (Pack) Help() string {
	return "Example:\n\n  solander plan S-1042 --text\n  solander pack S-1042"
}

func (c *Pack) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	in := dispatch.PackIn{Order: o.ID}
	if c.Total != "" {
		a, err := d.Amount(c.Total, "total")
		if err != nil {
			return err
		}
		in.Total = &a.Minor
	}
	parcels, err := dispatch.Pack(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(parcels, func(w io.Writer) {
		for _, p := range parcels {
			desk.PrintParcel(w, p, d.Units())
		}
	})
}
