// Package ahead is the command of the days ahead: what goes when, what waits, and that an order waits or is sent at once after all.
package ahead

import (
	"fmt"
	"io"
	"strings"
	"time"

	"solander/cli/desk"
	"solander/fault"
	"solander/waiting"
)

type Ahead struct {
	Days   int           `default:"5" help:"How many working days, at most 15."`
	Wait   string        `placeholder:"ORDER" predictor:"order" help:"Say that this order waits until the day that is planned for it, or that packaging is kept for it."`
	Send   string        `placeholder:"ORDER" predictor:"order" help:"Say that this order waits no more, or that nothing is kept for it."`
	Within time.Duration `placeholder:"TIME" help:"Search no longer than this, like 5s."`
}

func (Ahead) Help() string {
	return `Says what goes on which of the next working days, what it costs, which orders may wait and what that saves;
or that one of them waits. Nothing waits past its promise less the working days in reserve that the settings name.

Example:

  solander ahead
  solander ahead --wait S-1042
  solander ahead --send S-1042`
}

func (c *Ahead) Run(d *desk.Open) error {
	if c.Wait != "" && c.Send != "" {
		return fault.Invalidf("wait", "an order cannot wait and be sent at once").ToMend("give one of --wait and --send")
	}
	if c.Wait+c.Send != "" {
		return c.say(d)
	}
	ctx, done, err := d.Searching("planning", c.Within)
	if err != nil {
		return err
	}
	v, err := waiting.Ahead(ctx, d.Studio, c.Days)
	done()
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) { print(w, v) })
}

// say says that an order waits, or waits no more.
func (c *Ahead) say(d *desk.Open) error {
	o, err := d.OrderNamed(c.Wait + c.Send)
	if err != nil {
		return err
	}
	if c.Send != "" {
		return d.Done(waiting.SendToday(d.Ctx, d.Studio, o.ID), nil, "%s waits no more", o.Mark)
	}
	got, err := waiting.Wait(d.Ctx, d.Studio, waiting.WaitIn{Order: o.ID})
	if got.MayKeep() {
		return d.Done(err, got, "%s %s", got.Mark, got.Text)
	}
	return d.Done(err, got, "%s waits until %s", o.Mark, got.Day.Short())
}

func print(w io.Writer, v waiting.View) {
	for _, day := range v.Days {
		fmt.Fprintf(w, "%s", day.Day.Long())
		if len(day.Sent) == 0 {
			fmt.Fprint(w, ": nothing goes\n")
			continue
		}
		fmt.Fprintf(w, ": %s\n", day.Cost)
		for _, s := range day.Sent {
			fmt.Fprintf(w, "  %s\n", strings.Join(desk.Filled(strings.Join(s.Orders, " with "), s.Cost.String(), strings.Join(s.Takes, ", ")), "  "))
		}
	}
	for _, o := range v.Orders {
		if o.Text != "" {
			fmt.Fprintf(w, "%s %s\n", o.Mark, o.Text)
		}
		if o.Broken != "" {
			fmt.Fprintf(w, "what was said of %s does not hold: %s\n", o.Mark, o.Broken)
		}
	}
	for _, s := range v.Scarce {
		fmt.Fprintln(w, s.Text)
	}
	if v.Saves.Sign() > 0 {
		fmt.Fprintf(w, "waiting saves %s in all\n", v.Saves)
	}
	if !v.Proven {
		fmt.Fprintf(w, "not proven to be the cheapest days: at most %s could be saved\n", v.AtMost)
	}
}
