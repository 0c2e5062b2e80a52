package certify

import (
	"fmt"
	"io"

	"solander/certificate"
	"solander/certify"
	"solander/cli/desk"
	"solander/fault"
)

type provenanceCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Number  string `arg:"" help:"The number: 17, 17/250 or AP 2."`
}

func (provenanceCmd) Help() string { return "Example:\n\n  solander certificate provenance heron 17" }

func (c *provenanceCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	n, err := desk.Number(c.Number, e.Edition)
	if err != nil {
		return err
	}
	p, err := certify.ProvenanceOf(d.Ctx, d.Studio, e.ID, n)
	if err != nil {
		return err
	}
	return d.Show(p, func(w io.Writer) {
		fmt.Fprintf(w, "%s of %s", p.Label, e.Name(d.Units()))
		switch {
		case p.Missing:
			fmt.Fprint(w, ": missing")
		case p.Has() != "":
			fmt.Fprintf(w, ": with %s", p.Has())
		}
		fmt.Fprintln(w)
		desk.Table(w, func(row func(string, ...any)) {
			for _, l := range p.Links {
				name, told := l.Name, ""
				if l.Gone {
					name = "(forgotten)"
				}
				if l.ID != 0 {
					told = fmt.Sprintf("told %d", l.ID)
				}
				row("  %s\t%s\t%s\t%s\t%s\t%s", l.Day, l.What, name, l.Order, desk.OneLine(l.Note), told)
			}
		})
	})
}

type tellCmd struct {
	Told string `arg:"" enum:"transfer,resale,theft,loss,found" help:"transfer, resale, theft, loss or found."`
	Code string `placeholder:"CODE" help:"The text of a code of the certificate in hand."`
	File string `placeholder:"FILE" predictor:"file" help:"Or the file of it (- is the input stream)."`
	Name string `placeholder:"NAME" help:"Whose it is now. It stands outside the log, and can be forgotten."`
	Note string `placeholder:"TEXT" help:"A note, kept as the name is."`
	Day  string `placeholder:"DAY" help:"The day; today when left out."`
}

func (tellCmd) Help() string {
	return "The certificate must be in hand, and hold.\n\nExample:\n\n  solander certificate tell resale --file heron-17.txt --name \"Oren Kessler\"\n  solander certificate tell theft --file heron-17.txt --day 2026-04-14"
}

func (c *tellCmd) Run(d *desk.Open) error {
	if (c.Code == "") == (c.File == "") {
		return fault.Invalidf("code", "the certificate is missing").ToMend("give --code, or --file")
	}
	day, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	in := certify.TellIn{Code: c.Code, Told: certificate.Event(c.Told), Name: c.Name, Note: c.Note, Day: day}
	if c.File != "" {
		raw, err := d.ReadFile(c.File, "file")
		if err != nil {
			return err
		}
		in.Code = string(raw)
	}
	x, err := certify.Tell(d.Ctx, d.Studio, in)
	return d.Done(err, x, "told %d: %s", x.ID, x.Told)
}

type forgetCmd struct {
	Told int64 `arg:"" help:"What was told, by its number; solander certificate provenance shows it."`
}

func (forgetCmd) Help() string {
	return "That it was told, and its proof, stand.\n\nExample:\n\n  solander certificate forget 3"
}

func (c *forgetCmd) Run(d *desk.Open) error {
	_, err := certify.Forget(d.Ctx, d.Studio, c.Told)
	return d.Done(err, map[string]int64{"forgotten": c.Told}, "who told %d is forgotten", c.Told)
}
