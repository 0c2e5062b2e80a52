package dispatch

import (
	"fmt"
	"io"
	"strings"
	"time"

	"solander/bench"
	"solander/cli/desk"
	"solander/daybench"
)

type Bench struct {
	Day    string        `placeholder:"DAY" help:"The day; today when left out."`
	Within time.Duration `placeholder:"TIME" help:"Search no longer than this, like 5s, and show the best found so far."`
}

func (Bench) Help() string { return "Example:\n\n  solander bench --day 2026-04-14" }

func (c *Bench) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	ctx, done, err := d.Searching("planning", c.Within)
	if err != nil {
		return err
	}
	list, err := daybench.List(ctx, d.Studio, on)
	done()
	if err != nil {
		return err
	}
	return d.Show(list, func(w io.Writer) { printBench(w, list) })
}

func printBench(w io.Writer, list bench.List) {
	fmt.Fprintf(w, "Bench of %s: %d open, %s\n", list.Day.Long(), list.Open, desk.LateIf(list.Late > 0, fmt.Sprintf("%d late", list.Late)))
	if list.Leaving != nil && list.Leaving.Text != "" {
		fmt.Fprintln(w, list.Leaving.Text)
	}
	if list.SetUps != "" {
		fmt.Fprintln(w, list.SetUps)
	}
	empty := true
	for _, g := range bench.Groups() {
		tasks := list.Groups[g]
		if len(tasks) == 0 {
			continue
		}
		empty = false
		fmt.Fprintf(w, "\n%s (%d)\n", g, len(tasks))
		for _, t := range tasks {
			printTask(w, t)
		}
	}
	if empty && !list.Next.IsZero() {
		fmt.Fprintf(w, "nothing to do; the next promise is %s\n", list.Next.Long())
	}
}

func printTask(w io.Writer, t bench.Task) {
	fmt.Fprintf(w, "  [ ] %s\n", strings.Join(desk.Filled(t.Mark, t.What, t.Buyer), "  "))
	if second := desk.Filled(t.Why, desk.LateIf(t.Late > 0, t.Timing), t.Blocked); len(second) > 0 {
		fmt.Fprintf(w, "      %s\n", strings.Join(second, "; "))
	}
	for _, l := range t.Leaves {
		fmt.Fprintf(w, "      goes %s\n", l.Text)
	}
	for _, line := range t.Detail {
		fmt.Fprintf(w, "      %s\n", line)
	}
	for _, tell := range t.MoreToTell() {
		fmt.Fprintf(w, "      %s\n", tell.Text)
	}
	for _, doubt := range t.Doubts {
		fmt.Fprintf(w, "      look at the address: %s\n", doubt)
	}
}
