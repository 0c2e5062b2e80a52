// Package dispatch has the commands from the bench to hand-over: plans and what they would be otherwise, parcels, labels, postage,
// price cards and papers. It holds no rule; a plan that takes long shows how far it is, and is stopped with the best found so far.
package dispatch

import (
	"fmt"
	"io"
	"strings"
	"time"

	"solander/cli/desk"
	"solander/dayplan"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/planning"
	"solander/studio"
)

type Plan struct {
	Order   string        `arg:"" optional:"" predictor:"order" help:"Mark of the order."`
	Problem string        `placeholder:"FILE" predictor:"file" help:"Plan the problem in this file instead (- is the input stream); the studio is not looked at."`
	Day     string        `placeholder:"DAY" help:"Day of hand-over of the order's plan; today when left out."`
	Why     bool          `help:"Say in words what was chosen, what it costs by which rule, and why nothing that looks cheaper is allowed."`
	WhyNot  string        `placeholder:"PACK/SERVICE" help:"Force a wrap or a piece of packaging, a service, or both (leave one side empty): what more would it cost, or which rule does it break first?"`
	Ask     bool          `help:"Print the order's problem instead of its plan, to look at or to change."`
	Text    bool          `help:"Print the plan for people to read."`
	Within  time.Duration `placeholder:"TIME" help:"Search no longer than this, like 5s, and show the best found so far; without it, Ctrl-C does the same."`
}

func (Plan) Help() string {
	return `Prints the plan as JSON (docs/formats/plan.md) unless --text or --why is given. What is printed was
checked by a second reckoning that shares no code with the planner.

Example:

  solander plan S-1042 --text
  solander plan S-1042 --why
  solander plan S-1042 --why-not tube-18x3/ground-commercial
  solander plan --problem docs/formats/examples/one-print.json`
}

func (c *Plan) Run(d *desk.Desk) error {
	if err := c.valid(); err != nil {
		return err
	}
	if c.Problem != "" {
		return c.file(d)
	}
	o, err := d.Opened()
	if err != nil {
		return err
	}
	return c.order(o)
}

func (c *Plan) valid() error {
	switch {
	case (c.Order == "") == (c.Problem == ""):
		return fault.Invalidf("problem", "name an order or a problem file, one of them").ToMend("solander plan S-1042, or solander plan --problem FILE")
	case c.Problem != "" && (c.Ask || c.Day != ""):
		return fault.Invalidf("problem", "a problem file holds its day and shelf itself").ToMend("leave --day and --ask to orders, or change the file")
	case c.Why && (c.Ask || c.WhyNot != ""):
		return fault.Invalidf("why", "--why explains the plan as it is").ToMend("leave --ask and --why-not to calls of their own")
	case c.WhyNot != "" && (c.Ask || c.Day != ""):
		return fault.Invalidf("why-not", "a choice is forced on today's plan").ToMend("leave --day and --ask away, or change the problem that --ask prints")
	case c.WhyNot != "" && (!strings.Contains(c.WhyNot, "/") || c.WhyNot == "/"):
		return fault.Invalidf("why-not", "%.60q names no packaging and service", c.WhyNot).ToMend("write it like tube-18x3/ground-commercial, tube-18x3/ or /ground-commercial")
	}
	return nil
}

// file plans a problem from outside: no studio is needed, or opened.
func (c *Plan) file(d *desk.Desk) error {
	r, err := d.Input(c.Problem, "problem")
	if err != nil {
		return err
	}
	defer r.Close()
	p, err := packing.ReadProblem(r)
	if err != nil {
		return err
	}
	st := studio.New(nil, studio.Options{Clock: d.Env.Clock})
	if c.WhyNot != "" {
		return c.whyNotFile(d, st, p)
	}
	ctx, done, err := d.Searching("planning", c.Within)
	if err != nil {
		return err
	}
	plan, err := planning.PlanProblem(ctx, st, p)
	done()
	if err != nil {
		return err
	}
	if c.Why {
		return showWhy(d, dayplan.WhyPlan(p, plan, measure.Imperial))
	}
	return c.show(d, p, plan, measure.Imperial)
}

func (c *Plan) order(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.WhyNot != "" {
		return c.whyNot(d, o)
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	ctx, done, err := d.Searching("planning", c.Within)
	if err != nil {
		return err
	}
	v, err := planning.Plan(ctx, d.Studio, o.ID, on)
	done()
	if err != nil {
		return err
	}
	if c.Ask {
		d.JSON = true
		return d.Show(v.Problem, nil)
	}
	if c.Why {
		return showWhy(d.Desk, v.Why())
	}
	return c.show(d.Desk, v.Problem, v.Plan, v.Units)
}

func (c *Plan) show(d *desk.Desk, p packing.Problem, plan packing.Plan, units measure.System) error {
	if c.Text && !d.JSON {
		printPlan(d.Out, p, plan, units)
		return nil
	}
	return packing.WritePlan(d.Out, plan)
}

func printPlan(w io.Writer, problem packing.Problem, plan packing.Plan, units measure.System) {
	why := dayplan.WhyPlan(problem, plan, units)
	fmt.Fprintf(w, "plan for hand-over on %s: %s, %s\n", plan.Day.Long(), why.Total, why.Proof)
	for _, o := range why.Orders {
		printHeld(w, o)
	}
	for i, p := range plan.Parcels {
		of := p.Order
		if len(p.Orders) > 0 {
			of = strings.Join(p.Orders, " and ")
		}
		fmt.Fprintf(w, "\nparcel %d of %s\n", i+1, of)
		printPlanned(w, p, plan.Currency, units)
		for _, r := range plan.Rejected {
			if r.Parcel == i && dayplan.TooLarge(r.Reason.Rule) {
				fmt.Fprintf(w, "  too large for %s: %s (%s)\n", strings.Join(desk.Filled(strings.Join(r.Items, " + "), r.Service), ", "), r.Reason.Text, r.Reason.Rule)
			} else if r.Parcel == i {
				fmt.Fprintf(w, "  looks cheaper, at %s: %s: %s (%s)\n", money.Of(r.Looks, plan.Currency), strings.Join(desk.Filled(r.Wrap, strings.Join(r.Items, " + "), r.Service), ", "), r.Reason.Text, r.Reason.Rule)
			}
		}
	}
	for _, x := range plan.Warnings {
		fmt.Fprintf(w, "warning: %s\n", x.Text)
	}
}

func printPlanned(w io.Writer, p packing.Parcel, currency string, units measure.System) {
	fmt.Fprintf(w, "  %s, %s", p.Wrap, p.Service)
	if p.Zone != "" {
		fmt.Fprintf(w, ", zone %s", p.Zone)
	}
	fmt.Fprintf(w, "; %s × %s × %s, %s\n", p.Size.Length.About(units), p.Size.Width.About(units), p.Size.Height.About(units), p.Mass.About(units))
	if p.Mat != nil {
		fmt.Fprintf(w, "    prints %s\n", p.Mat.Words())
	}
	for _, l := range p.Layers {
		cut := ""
		if l.CutTo > 0 {
			cut = ", cut to " + l.CutTo.In(units)
		}
		if l.CutLength > 0 {
			cut += ", length cut to " + l.CutLength.In(units)
		}
		if l.CutWidth > 0 {
			cut += ", width cut to " + l.CutWidth.In(units)
		}
		fmt.Fprintf(w, "    %d %s%s\n", l.Count, l.Item, cut)
	}
	desk.Table(w, func(row func(string, ...any)) {
		for _, l := range p.Lines {
			row("    %s\t%s\t%s", l.Rule, l.Text, money.Of(l.Amount, currency))
		}
	})
	if p.DaysMin != nil && p.DaysMax != nil {
		fmt.Fprintf(w, "    there by %s, %d to %d days\n", p.Arrives.Short(), *p.DaysMin, *p.DaysMax)
	}
}
