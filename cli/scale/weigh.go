// Package scale holds the command for what her own scale says: parcels weighed, and what they teach of their wraps.
package scale

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/measure"
	bias "solander/packing/scale"
	"solander/studio"
	"solander/weighing"
)

type Weigh struct {
	Parcel string `arg:"" optional:"" predictor:"order" help:"Mark of an order with one parcel, or the parcel's number; left out: what weighed parcels say of each wrap."`
	Mass   string `arg:"" optional:"" placeholder:"MASS" help:"What your scale says: 14.2oz, '1 lb 3 oz', 410g."`
	Wrap   string `placeholder:"KEY" help:"What the parcels of this wrap would change."`
	Take   bool   `help:"Let the wrap weigh by itself what its parcels say."`
	Leave  bool   `help:"Leave the wrap's own mass; it is not said again until the difference is another."`
}

func (Weigh) Help() string {
	return "A parcel may be weighed before or after its label; solander label notes both at once.\n\nExample:\n\n" +
		"  solander weigh S-1042 14.2oz\n  solander weigh\n  solander weigh --wrap tube\n  solander weigh --wrap tube --take"
}

func (c *Weigh) Run(d *desk.Open) error {
	switch {
	case c.Wrap != "" && c.Parcel != "":
		return fault.Invalidf("wrap", "a parcel is weighed, or a wrap looked at").ToMend("leave out one of them")
	case c.Take && c.Leave:
		return fault.Invalidf("leave", "it is taken over, or left").ToMend("leave out --take or --leave")
	case c.Wrap == "" && (c.Take || c.Leave):
		return fault.Invalidf("wrap", "it is missing").ToMend("say which wrap: solander weigh lists them")
	case c.Parcel != "":
		return c.note(d)
	case c.Wrap == "":
		return list(d)
	case c.Take || c.Leave:
		return c.heed(d)
	}
	return c.try(d)
}

// note notes what a parcel weighs.
func (c *Weigh) note(d *desk.Open) error {
	if c.Mass == "" {
		return fault.Invalidf("mass", "it is missing").ToMend("write what your scale says: solander weigh %s 14.2oz", c.Parcel)
	}
	m, err := measure.ParseMass(c.Mass, d.Units())
	if err != nil {
		return desk.In(err, "mass")
	}
	p, err := d.ParcelNamed(c.Parcel, studio.Packed, studio.Labelled, studio.HandedOver)
	if err != nil {
		return err
	}
	says, err := weighing.Weigh(d.Ctx, d.Studio, weighing.WeighIn{Parcel: p.ID, Mass: m})
	if err != nil {
		return err
	}
	p.Weighed = m
	return d.Show(p, func(w io.Writer) { fmt.Fprintln(w, says) })
}

func list(d *desk.Open) error {
	all, err := weighing.All(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	u := d.Units()
	return d.Show(all, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("WRAP\tKEY\tBY ITSELF\tWEIGHED\tAGAINST THE PLAN\tHALF OF THEM\tWOULD WEIGH")
			for _, l := range all {
				off, then := "", ""
				if l.Bias.Parcels > 0 {
					off = weighing.Amount(l.Bias.Off, u)
				}
				if l.Sure {
					then = l.Then.In(u)
				}
				if l.Kept {
					then += ", left"
				}
				row("%s\t%s\t%s\t%d\t%s\t%s\t%s", l.Name, l.Wrap, l.Own.In(u), l.Bias.Parcels, off, l.Spread(), then)
			}
		})
		fmt.Fprintf(w, "worth saying from %d parcels on, beyond a step of the scale\n", bias.Least)
	})
}

// try shows what taking over would change.
func (c *Weigh) try(d *desk.Open) error {
	t, err := weighing.Try(d.Ctx, d.Studio, c.Wrap)
	if err != nil {
		return err
	}
	u := d.Units()
	return d.Show(t, func(w io.Writer) {
		fmt.Fprintln(w, t.Text())
		if !t.Sure {
			fmt.Fprintf(w, "nothing sure: from %d parcels on, and beyond a step of the scale\n", bias.Least)
		}
		fmt.Fprintf(w, "besides its layers it weighs %s, and would weigh %s\n", t.Own.In(u), t.Then.In(u))
		if len(t.Rows) == 0 {
			fmt.Fprintln(w, "no order that may be packed now goes in it")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("ORDER\tCOSTS\tTHEN\tMORE\tWHAT CHANGES")
			for _, r := range t.Rows {
				row("%s\t%s\t%s\t%s\t%s", r.Order, r.Now, r.After, r.More, r.Says(u))
			}
			row("in all\t%s\t%s\t%s\t", t.Now, t.After, t.More)
		})
	})
}

// heed takes it over, or leaves it.
func (c *Weigh) heed(d *desk.Open) error {
	l, err := weighing.Heed(d.Ctx, d.Studio, weighing.HeedIn{Wrap: c.Wrap, Leave: c.Leave})
	if err != nil {
		return err
	}
	return d.Show(l, func(w io.Writer) {
		if c.Leave {
			fmt.Fprintf(w, "“%s” weighs %s besides its layers still\n", l.Name, l.Own.In(d.Units()))
			return
		}
		fmt.Fprintf(w, "“%s” weighs %s besides its layers from now on, not %s\n", l.Name, l.Then.In(d.Units()), l.Own.In(d.Units()))
	})
}
