package dispatch

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/dayplan"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/studio"
	"solander/suppose"
)

// showWhy prints a plan in words.
func showWhy(d *desk.Desk, why dayplan.Why) error {
	return d.Show(why, func(w io.Writer) {
		fmt.Fprintf(w, "plan for hand-over on %s: %s, %s\n", why.Day.Long(), why.Total, why.Proof)
		for _, o := range why.Orders {
			printWhyOrder(w, o)
		}
		for _, text := range why.Shared {
			fmt.Fprintf(w, "shared: %s\n", text)
		}
		for _, text := range why.Cautions {
			fmt.Fprintf(w, "caution: %s\n", text)
		}
	})
}

func printWhyOrder(w io.Writer, o dayplan.WhyOrder) {
	printHeld(w, o)
	for i, p := range o.Parcels {
		if !p.First(o.Order) {
			fmt.Fprintf(w, "\n%s goes together with %s\n", o.Order, p.Orders[0])
			continue
		}
		of := o.Order
		if len(p.Orders) > 0 {
			of = strings.Join(p.Orders, " and ")
		}
		fmt.Fprintf(w, "\nparcel %d of %s: %s, %s\n  holds %s\n", i+1, of, p.Text, p.Cost, strings.Join(p.Prints, "; "))
		desk.Table(w, func(row func(string, ...any)) {
			for _, l := range p.Lines {
				row("  %s\t%s\t%s", l.Rule, l.Text, l.Amount)
			}
		})
		cheaper := false
		for _, r := range p.Rejected {
			if r.TooLarge() {
				fmt.Fprintf(w, "  too large for %s: %s (%s)\n", r.Text, r.Reason, r.Rule)
				continue
			}
			cheaper = true
			fmt.Fprintf(w, "  why not %s, which looks like %s: %s (%s)\n", r.Text, r.Looks, r.Reason, r.Rule)
		}
		if !cheaper {
			fmt.Fprintln(w, "  nothing looks cheaper")
		}
	}
}

// printHeld says why an order cannot go: the print, the first rule, and the house rules that hold it together.
func printHeld(w io.Writer, o dayplan.WhyOrder) {
	if o.Held == "" {
		return
	}
	fmt.Fprintf(w, "%s cannot go: %s (%s)\n", o.Order, o.Held, o.Rule)
	if o.Print != "" {
		fmt.Fprintf(w, "  the print that cannot go: %s\n", o.Print)
	}
	if len(o.Conflict) > 0 {
		fmt.Fprintln(w, "  house rules that together leave no way:")
	}
	for _, rule := range o.Conflict {
		fmt.Fprintf(w, "  - %s\n", rule)
	}
}

// whyNotFile forces a choice on every order of a problem file.
func (c *Plan) whyNotFile(d *desk.Desk, st *studio.Studio, p packing.Problem) error {
	choice, service, _ := strings.Cut(c.WhyNot, "/")
	ctx, done, err := d.Searching("planning", c.Within)
	if err != nil {
		return err
	}
	answers, err := suppose.WhyNotProblem(ctx, st, p, choice, service)
	done()
	if err != nil {
		return err
	}
	d.JSON = d.JSON || !c.Text
	return d.Show(answers, func(w io.Writer) {
		for _, a := range answers {
			v := suppose.Verdict{Planned: 1, Each: a.Parcels}
			for i, f := range a.Parcels {
				fmt.Fprintf(w, "parcel %d of %s: %s\n", i+1, a.Order, v.EachText(i, p.Currency))
				if f.Reason != nil {
					fmt.Fprintf(w, "  the rule: %s\n", f.Reason.Rule)
					continue
				}
				printPlanned(w, *f.Parcel, p.Currency, measure.Imperial)
			}
		}
	})
}

// whyNot forces a choice on the plan of an order.
func (c *Plan) whyNot(d *desk.Open, o studio.OrderView) error {
	choice, service, _ := strings.Cut(c.WhyNot, "/")
	units := d.Units()
	ctx, done, err := d.Searching("planning", c.Within)
	if err != nil {
		return err
	}
	v, err := suppose.WhyNot(ctx, d.Studio, o.ID, choice, service)
	done()
	if err != nil {
		return err
	}
	cur := o.Due.Currency
	return d.Show(v, func(w io.Writer) {
		fmt.Fprint(w, v.Text(cur))
		if v.Reason != nil {
			fmt.Fprintf(w, " (%s)", v.Reason.Rule)
		}
		fmt.Fprintln(w)
		if v.Possible {
			fmt.Fprintf(w, "the order would cost %s", money.Of(v.Total, cur))
			if v.Planned > 0 {
				fmt.Fprintf(w, ", as planned it costs %s", money.Of(v.Planned, cur))
			}
			fmt.Fprintln(w)
		}
		for _, p := range v.Parcels {
			printPlanned(w, p, cur, units)
		}
		for i := range v.Each {
			fmt.Fprintf(w, "parcel %d as it is planned: %s\n", i+1, v.EachText(i, cur))
		}
	})
}
