package cli

import (
	"io"

	"solander/studio"
)

type packCmd struct {
	Order string `arg:"" help:"Mark of the order."`
	Total string `placeholder:"AMOUNT" help:"The plan's total as you saw it; it is refused when the plan is another one now."`
}

func (packCmd) Help() string {
	return "Example:\n\n  solander plan S-1042 --text\n  solander pack S-1042"
}

func (c *packCmd) Run(d *open) error {
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	in := studio.PackIn{Order: o.ID}
	if c.Total != "" {
		a, err := d.amount(c.Total, "total")
		if err != nil {
			return err
		}
		in.Total = &a.Minor
	}
	parcels, err := d.st.Pack(d.ctx, in)
	if err != nil {
		return err
	}
	return d.show(parcels, func(w io.Writer) {
		for _, p := range parcels {
			printParcel(w, p)
		}
	})
}
