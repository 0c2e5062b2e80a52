package dispatch

import (
	"fmt"
	"io"

	"solander/calendar"
	"solander/choosing"
	"solander/cli/desk"
	"solander/fault"
	"solander/planning"
)

type Ways struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order."`
	Choose string `placeholder:"WAY" help:"Send it this way from now on: sooner, safer, or the number of a way; cheapest takes a choice back."`
	Reason string `placeholder:"TEXT" help:"Why; kept with the order and in its journal."`
}

func (Ways) Help() string {
	return `Lists the ways to send an order of which no other is better in cost, arrival and protection at once; or
chooses one of them. The plans of its day, and packing, then keep the choice while it can be kept.

Example:

  solander ways S-1042
  solander ways S-1042 --choose safer --reason "her first print of ours"
  solander ways S-1042 --choose cheapest`
}

func (c *Ways) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.Choose == "cheapest" {
		return d.Done(choosing.TakeBack(d.Ctx, d.Studio, o.ID), nil, "%s goes the cheapest way again", o.Mark)
	}
	v, err := planning.Plan(d.Ctx, d.Studio, o.ID, calendar.Day{})
	if err != nil {
		return err
	}
	found, err := choosing.Ways(d.Ctx, d.Studio, v)
	if err != nil {
		return err
	}
	if c.Choose == "" {
		return d.Show(found, func(w io.Writer) { c.print(w, v, found) })
	}
	at, err := c.at(found)
	if err != nil {
		return err
	}
	way := found.Ways[at]
	_, err = choosing.Take(d.Ctx, d.Studio, choosing.TakeIn{Order: o.ID, Demand: way.Demand, Total: &way.Cost.Minor, Reason: c.Reason})
	return d.Done(err, way, "%s goes another way: %s", o.Mark, way.Says())
}

func (c *Ways) print(w io.Writer, v planning.PlanView, found choosing.Choices) {
	switch {
	case found.Stopped:
		fmt.Fprintln(w, "the ways were not compared: it would have taken too long")
	case len(found.Ways) == 0:
		fmt.Fprintln(w, "it cannot go at all; solander plan "+v.Order.Mark+" --why says why")
	default:
		PrintWays(w, found)
	}
	if v.Unkept != "" {
		fmt.Fprintf(w, "the way that was chosen for it cannot be kept: %s\n", v.Unkept)
	}
}

// at is the place of the way that is chosen.
func (c *Ways) at(found choosing.Choices) (int, error) {
	at := -1
	switch c.Choose {
	case "sooner":
		at = found.Sooner
	case "safer":
		at = found.Safer
	default:
		var n int
		if _, err := fmt.Sscanf(c.Choose, "%d", &n); err != nil || fmt.Sprint(n) != c.Choose {
			return 0, fault.Invalidf("choose", "%.40q is no way", c.Choose).ToMend("sooner, safer, cheapest or a number of the list")
		}
		at = n - 1
	}
	if at < 0 || at >= len(found.Ways) {
		return 0, fault.New(fault.Refused, "there is no such way to send it").In("choose").ToMend("solander ways %s lists them", c.Order)
	}
	return at, nil
}
