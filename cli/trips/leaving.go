// Package trips is how parcels leave the house, on the command line: the ways listed, added, changed and taken out, and the trips of a day.
package trips

import (
	"fmt"
	"io"

	"solander/bench"
	"solander/cli/desk"
	"solander/daybench"
	"solander/house"
	"solander/leaving"
)

// Leaving lists the ways by which parcels leave, with the trips of a day, or changes them.
type Leaving struct {
	Day   string `placeholder:"DAY" help:"The day whose trips are told; today when left out."`
	File  string `placeholder:"FILE" predictor:"file" xor:"do" help:"Add a way, or change the one whose id it names, from a JSON file (- is the input stream)."`
	Drop  string `placeholder:"ID" xor:"do" help:"Take a way out."`
	Extra string `name:"set-ups" placeholder:"MONEY" xor:"do" help:"What a day may cost more so that fewer different wraps are made."`
}

func (Leaving) Help() string {
	return `A way is written as {"name": "the mailbox", "kind": "mailbox", "opening": {"length": "13 in", "width": "2 in", "depth": "16 in"}}.

Example:

  solander leaving
  solander leaving --file mailbox.json
  solander leaving --drop mailbox
  solander leaving --set-ups 1.50`
}

func (c *Leaving) Run(d *desk.Open) error {
	switch {
	case c.File != "":
		return c.save(d)
	case c.Drop != "":
		return d.Done(desk.In(house.DropWay(d.Ctx, d.Studio, c.Drop), "drop"), map[string]string{"dropped": c.Drop}, "%s is taken out", c.Drop)
	case c.Extra != "":
		return c.allow(d)
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	list, err := daybench.List(d.Ctx, d.Studio, on)
	if err != nil {
		return err
	}
	v, err := house.Leaving(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(answer{v, list.Leaving}, func(w io.Writer) { printLeaving(d, w, v, list.Leaving) })
}

// answer is what leaves how, and the trips of the day.
type answer struct {
	house.LeavingView
	Day *bench.Leaving `json:"day"` // null while there is no way
}

func (c *Leaving) save(d *desk.Open) error {
	var w leaving.Way
	if err := d.ReadJSON(c.File, "file", &w); err != nil {
		return err
	}
	out, err := house.ChangeWay(d.Ctx, d.Studio, w.ID, func(is *leaving.Way) error {
		*is = w
		return nil
	})
	if err != nil {
		return err
	}
	return d.Say(out, "%s is saved as %s", out.Name, out.ID)
}

func (c *Leaving) allow(d *desk.Open) error {
	a, err := d.Amount(c.Extra, "set-ups")
	if err != nil {
		return err
	}
	err = house.AllowSetUps(d.Ctx, d.Studio, a.Minor)
	return d.Done(err, a, "a day may cost %s more for fewer different wraps", a)
}

func printLeaving(d *desk.Open, w io.Writer, v house.LeavingView, day *bench.Leaving) {
	if len(v.Ways) == 0 {
		fmt.Fprintln(w, "no way by which parcels leave is said yet")
		return
	}
	desk.Table(w, func(row func(string, ...any)) {
		row("ID\tWAY\tTAKES\tA TRIP COSTS\tWHEN")
		for _, x := range v.Ways {
			row("%s\t%s\t%s\t%s\t%s", x.ID, x.Name, x.Takes(d.Units(), d.Currency(), v.Named), x.Costs(v.MinuteWage, d.Currency()), x.When())
		}
	})
	printDay(w, day)
}

// printDay tells the trips of a day, and what stays.
func printDay(w io.Writer, day *bench.Leaving) {
	if day == nil || day.Text == "" {
		return
	}
	fmt.Fprintf(w, "\n%s\n", day.Text)
	for _, s := range day.Stays {
		fmt.Fprintf(w, "  %s: %s\n      %s\n", s.Order, s.Text, s.Mend)
	}
}
