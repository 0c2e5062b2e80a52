package sales

import (
	"io"

	"solander/cli/desk"
	"solander/house"
	"solander/order"
)

type Outlets struct {
	File string `placeholder:"FILE" predictor:"file" help:"Add an outlet, or change the one whose id it names, from a JSON file (- is the input stream)."`
}

func (Outlets) Help() string {
	return `Example:

  solander outlets
  echo '{"name": "Autumn fair", "promise_days": 5}' | solander outlets --file -
  solander fees "Autumn fair" --file fees.json`
}

func (c *Outlets) Run(d *desk.Open) error {
	var err error
	if c.File != "" {
		var o order.Outlet
		if err := d.ReadJSON(c.File, "file", &o); err != nil {
			return err
		}
		if o, err = house.SaveOutlet(d.Ctx, d.Studio, o); err != nil {
			return err
		}
		return d.Say(o, "outlet %d %s is saved", o.ID, o.Name)
	}
	rows, err := house.Outlets(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	today, err := house.Today(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(rows, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("OUTLET\tNAME\tPROMISE\tTAX\tFEES")
			for _, o := range rows {
				tax := "by the studio"
				if o.CollectsTax {
					tax = "by the outlet"
				}
				row("%d\t%s\t%d working days\t%s\t%s", o.ID, o.Name, o.PromiseDays, tax, o.Fees.Tells(today))
			}
		})
	})
}
