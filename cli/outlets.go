package cli

import (
	"io"

	"solander/order"
)

type outletsCmd struct {
	File string `placeholder:"FILE" help:"Add an outlet, or change the one whose id it names, from a JSON file (- is the input stream)."`
}

func (outletsCmd) Help() string {
	return `Example:

  solander outlets
  echo '{"name": "Autumn fair", "fee_permille": 0, "fee_fixed": {"minor": 0, "currency": "USD"},
    "promise_days": 5}' | solander outlets --file -`
}

func (c *outletsCmd) Run(d *open) error {
	var err error
	if c.File != "" {
		var o order.Outlet
		if err := d.readJSON(c.File, "file", &o); err != nil {
			return err
		}
		if o, err = d.st.SaveOutlet(d.ctx, o); err != nil {
			return err
		}
		return d.say(o, "outlet %d %s is saved", o.ID, o.Name)
	}
	rows, err := d.st.Outlets(d.ctx)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("OUTLET\tNAME\tFEE\tFIXED\tPROMISE\tTAX")
			for _, o := range rows {
				tax := "by the studio"
				if o.CollectsTax {
					tax = "by the outlet"
				}
				row("%d\t%s\t%d.%d %%\t%s\t%d working days\t%s", o.ID, o.Name, o.FeePermille/10, o.FeePermille%10, o.FeeFixed, o.PromiseDays, tax)
			}
		})
	})
}
