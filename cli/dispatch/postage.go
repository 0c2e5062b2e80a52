package dispatch

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/labelling"
	"solander/postage"
)

type Postage struct {
	Layouts layoutsCmd     `cmd:"" help:"List the layouts, or save or drop one."`
	Out     postageOutCmd  `cmd:"" help:"Write all packed parcels without a label, for whoever sells the postage."`
	Back    postageBackCmd `cmd:"" help:"Read tracking numbers and prices that came back."`
}

type layoutsCmd struct {
	Save string `placeholder:"FILE" predictor:"file" help:"Save the layout of this JSON file (- is the input stream)."`
	Was  string `placeholder:"NAME" help:"With --save: the layout that it replaces."`
	Drop string `placeholder:"NAME" help:"Remove this layout."`
}

func (layoutsCmd) Help() string {
	return "A layout: docs/formats/export.md.\n\nExample:\n\n  solander postage layouts --save counter.json"
}

func (c *layoutsCmd) Run(d *desk.Open) error {
	var err error
	switch {
	case c.Save != "":
		var l postage.Layout
		if err := d.ReadJSON(c.Save, "save", &l); err != nil {
			return err
		}
		err = labelling.SaveLayout(d.Ctx, d.Studio, c.Was, l)
	case c.Drop != "":
		err = labelling.DropLayout(d.Ctx, d.Studio, c.Drop)
	}
	if err != nil {
		return err
	}
	all, err := labelling.Layouts(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		for _, l := range all {
			fmt.Fprintf(w, "%s: %s between columns, %s and %s, days %s\n", l.Name, l.Separator, l.Mass, l.Length, l.Date)
			for _, c := range l.Columns {
				fmt.Fprintln(w, c)
			}
		}
	})
}

type postageOutCmd struct {
	Layout string `arg:"" help:"Name of the layout."`
	desk.FileOut
}

func (postageOutCmd) Help() string {
	return "It buys no postage.\n\nExample:\n\n  solander postage out plain -o parcels.csv"
}

func (c *postageOutCmd) Run(d *desk.Open) error {
	return d.Write(c.FileOut, func(w io.Writer) error { _, err := labelling.PostageOut(d.Ctx, d.Studio, c.Layout, w); return err })
}

type postageBackCmd struct {
	Layout string `arg:"" help:"Name of the layout."`
	File   string `arg:"" predictor:"file" help:"The file that came back (- is the input stream)."`
	Note   bool   `help:"Note the labels; without it the command only says what it would do."`
}

func (postageBackCmd) Help() string {
	return "Without --note nothing is changed. All rows are noted together, or none.\n\nExample:\n\n  solander postage back plain labels.csv --note"
}

func (c *postageBackCmd) Run(d *desk.Open) error {
	r, err := d.Input(c.File, "file")
	if err != nil {
		return err
	}
	defer r.Close()
	rep, err := labelling.PostageBack(d.Ctx, d.Studio, c.Layout, io.LimitReader(r, desk.MostInput), c.Note)
	if err != nil && !fault.Is(err, fault.Refused) {
		return err
	}
	if shown := d.Show(rep, func(w io.Writer) { printPostage(w, rep) }); shown != nil {
		return shown
	}
	if err == nil && len(rep.Problems) > 0 {
		return desk.ErrFindings
	}
	return err
}

func printPostage(w io.Writer, rep labelling.PostageReport) {
	what := "would be noted"
	if rep.Done {
		what = "noted"
	}
	for _, l := range rep.Labels {
		fmt.Fprintf(w, "row %d: %s, %s, %s, %s\n", l.Row, l.Mark, l.Buyer, l.Tracking, l.Paid)
		if l.Doubt != "" {
			fmt.Fprintf(w, "  look at it: %s\n", l.Doubt)
		}
	}
	for _, p := range rep.Problems {
		fmt.Fprintf(w, "row %d, %s: %s\n", p.Row, p.Column, p.What)
		if p.Mend != "" {
			fmt.Fprintf(w, "  hint: %s\n", p.Mend)
		}
	}
	fmt.Fprintf(w, "%d %s, %d noted before, %d problems\n", len(rep.Labels), what, rep.Same, len(rep.Problems))
}
