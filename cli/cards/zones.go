package cards

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/fault"
	"solander/pricecards"
	"solander/tariff/zonelist"
)

type tariffZonesCmd struct {
	File   string `arg:"" optional:"" predictor:"file" help:"A text file with the operator's answer for your postcode: ranges and their zones, as they stand there. Left out: say by which zones parcels are priced."`
	Table  string `help:"Name of the zones that the list takes the place of; left out where there is one."`
	Source string `help:"Where the zones stand: the operator's chart and its day. Left out: the list is read and shown only."`
	Sure   bool   `help:"Use the zones though something is in doubt."`
	Drop   string `placeholder:"TABLE" help:"Take a list out again: the cards' own zones, or the estimate, hold."`
}

func (tariffZonesCmd) Help() string {
	return "Example:\n\n  solander tariff zones answer.txt\n  solander tariff zones answer.txt --source \"their chart of 5 January\"\n  solander tariff zones --drop domestic"
}

func (c *tariffZonesCmd) Run(d *desk.Open) error {
	if c.Drop != "" {
		if c.File != "" {
			return fault.Invalidf("drop", "a list is taken out or taken in, not both").ToMend("leave out the file, or --drop")
		}
		return d.Done(pricecards.DropZones(d.Ctx, d.Studio, c.Drop), map[string]any{"dropped": c.Drop}, "zones %s are taken out", c.Drop)
	}
	held, err := pricecards.Zones(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if c.File == "" {
		return c.show(d, held)
	}
	in := pricecards.ZonesIn{Table: c.Table, Source: c.Source, Sure: c.Sure}
	switch {
	case in.Table == "" && len(held.Tables) == 1:
		in.Table = held.Tables[0]
	case in.Table == "":
		return fault.Invalidf("table", "the price cards have zones of %s names", fault.Count(len(held.Tables), "kind")).ToMend("name one: %s", strings.Join(held.Tables, ", "))
	}
	body, err := d.ReadFile(c.File, "file")
	if err != nil {
		return err
	}
	in.Text = string(body)
	if c.Source == "" {
		l, err := pricecards.ReadZones(d.Ctx, d.Studio, in)
		if err != nil {
			return err
		}
		return d.Show(l, func(w io.Writer) { printZones(w, l) })
	}
	err = pricecards.KeepZones(d.Ctx, d.Studio, in)
	return d.Done(err, map[string]any{"table": in.Table}, "zones %s from %s %s are used", in.Table, held.Origin.Country, held.Origin.Postcode)
}

func printZones(w io.Writer, l zonelist.List) {
	for _, z := range l.Zones {
		fmt.Fprintf(w, "zone %s: %s\n", z.Zone, fault.Count(z.Ranges, "range"))
	}
	for _, x := range l.Doubts {
		printDoubt(w, x.Bars, x.What, x.Mend)
	}
}

func (c *tariffZonesCmd) show(d *desk.Open, held pricecards.ZonesOf) error {
	return d.Show(held, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("ZONES\tFROM\tBY")
			for _, name := range held.Tables {
				row("%s\t%s %s\t%s", name, held.Origin.Country, held.Origin.Postcode, held.By(name))
			}
		})
	})
}
