package dispatch

import (
	"fmt"
	"io"
	"slices"

	"solander/cli/desk"
	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/pricecards"
	"solander/suppose"
)

type WhatIf struct {
	File string `arg:"" optional:"" placeholder:"FILE" predictor:"file" help:"The question as JSON (docs/formats/what-if.md; - is the input stream)."`

	From string `placeholder:"DAY" help:"First day of hand-over; all of the past when left out."`
	To   string `placeholder:"DAY" help:"Last day of hand-over."`
	Past bool   `default:"true" negatable:"" help:"Parcels that were handed over."`
	Open bool   `help:"Open orders, too."`

	Like   string   `placeholder:"ITEM" help:"Buy packaging like this item of the shelf, at --cost, perhaps of another size."`
	Cost   string   `placeholder:"AMOUNT" help:"Price of one piece of it."`
	Width  string   `placeholder:"LENGTH" help:"Another width inside."`
	Height string   `placeholder:"LENGTH" help:"Another height inside."`
	Mass   string   `placeholder:"MASS" help:"Another weight of one piece."`
	Item   string   `placeholder:"FILE" predictor:"file" help:"Buy the packaging in this JSON file instead (problem.md, section 5)."`
	Drop   []string `placeholder:"RULE" sep:"none" help:"Without the house rule of this key."`
	Rule   []string `placeholder:"FILE" sep:"none" predictor:"file" help:"With the house rule in this JSON file; it takes the place of the one of its id."`
	Wrap   []string `placeholder:"FILE" sep:"none" predictor:"file" help:"With the wrap in this JSON file; it takes the place of the one of its id."`
	Card   []string `placeholder:"CARD" sep:"none" help:"By this price card: the id of a loaded one, a folder with card.toml, or a JSON file."`

	Bare bool `name:"without-margin" help:"Without the margin for paper and scale."`

	All   bool   `help:"List every sending, not only those that change."`
	SVG   string `name:"svg" placeholder:"FILE" predictor:"file" help:"Write the plot as a picture, too."`
	Force bool   `help:"Replace the file of --svg when it exists."`
}

func (WhatIf) Help() string {
	return `Plans a time again as the studio is, and again with something changed, and shows the difference as a
table and as bars. Nothing in the studio is changed. Ctrl-C keeps what is planned by then.

Example:

  solander what-if --from 2025-01-01 --to 2025-12-31 --like envelope-13x17 --cost 0.48
  solander what-if --open --drop fine-better
  solander what-if --from 2025-01-01 --card ./post-2027-01 --svg post-2027.svg
  solander what-if question.json --json`
}

func (c *WhatIf) Run(d *desk.Open) error {
	in, err := c.asked(d)
	if err != nil {
		return err
	}
	tell, done := d.Progress("planning")
	found, err := suppose.AskWhatIf(d.Ctx, d.Studio, in, tell)
	done()
	if err != nil {
		return err
	}
	if err := d.Show(found, func(w io.Writer) { printWhatIf(w, found, c.All) }); err != nil {
		return err
	}
	return c.picture(d, found)
}

// picture writes the plot to the file of --svg.
func (c *WhatIf) picture(d *desk.Open, found suppose.WhatIf) error {
	if c.SVG == "" {
		return nil
	}
	p, _ := found.Plot()
	if p == nil {
		return fault.New(fault.Refused, "there is nothing to plot: no sending changes").In("svg").ToMend("leave out --svg, or ask for a longer time")
	}
	return d.ToFile(c.SVG, c.Force, func(w io.Writer) error {
		_, err := io.WriteString(w, p.SVG())
		return err
	})
}

// asked reads the question from a file, or from the flags.
func (c *WhatIf) asked(d *desk.Open) (suppose.WhatIfIn, error) {
	q := suppose.WhatIfIn{Format: suppose.WhatIfFormat, Past: c.Past, Open: c.Open, Drop: c.Drop}
	if c.File != "" {
		if c.From+c.To+c.Like+c.Item != "" || c.Open || c.Bare || len(c.Drop)+len(c.Rule)+len(c.Wrap)+len(c.Card) > 0 {
			return q, fault.Invalidf("file", "a file says all itself").ToMend("leave out the flags that ask, or the file")
		}
		q = suppose.WhatIfIn{}
		err := d.ReadJSON(c.File, "file", &q)
		return q, err
	}
	if c.Bare {
		q.Margin = &packing.Margin{}
	}
	var err error
	if q.From, err = desk.Day(c.From, "from"); err != nil {
		return q, err
	}
	if q.To, err = desk.Day(c.To, "to"); err != nil {
		return q, err
	}
	if err := c.bought(d, &q); err != nil {
		return q, err
	}
	for _, path := range c.Rule {
		var r packing.Rule
		if err := d.ReadJSON(path, "rule", &r); err != nil {
			return q, err
		}
		q.Rules = append(q.Rules, r)
	}
	for _, path := range c.Wrap {
		var w packing.Wrap
		if err := d.ReadJSON(path, "wrap", &w); err != nil {
			return q, err
		}
		q.Wraps = append(q.Wraps, w)
	}
	return q, c.cards(d, &q)
}

// bought reads the packaging that is bought.
func (c *WhatIf) bought(d *desk.Open, q *suppose.WhatIfIn) error {
	switch {
	case c.Item != "" && c.Cost+c.Width+c.Height+c.Mass != "":
		return fault.Invalidf("item", "a file says price and size itself").ToMend("leave out --cost, --width, --height and --mass")
	case c.Item != "":
		q.Item = new(packing.Item)
		q.Like = c.Like
		return d.ReadJSON(c.Item, "item", q.Item)
	case c.Like == "" && c.Cost+c.Width+c.Height+c.Mass != "":
		return fault.Invalidf("like", "it is missing").ToMend("say with --like which item of the shelf the new one is like")
	case c.Like == "":
		return nil
	case c.Cost == "":
		return fault.Invalidf("cost", "it is missing").ToMend("say with --cost what one piece would cost")
	}
	like, err := d.ShelfNamed(c.Like)
	if err != nil {
		return desk.In(err, "like")
	}
	it := like.Spec
	it.ID, it.Name, it.Note, it.Stock = "what-if", "new, like "+it.Name, "", nil
	a, err := d.Amount(c.Cost, "cost")
	if err != nil {
		return err
	}
	it.Cost = a.Minor
	for _, side := range []struct {
		text, field string
		of          *measure.Length
	}{{c.Width, "width", &it.Width}, {c.Height, "height", &it.Height}} {
		if side.text == "" {
			continue
		}
		if *side.of, err = measure.ParseLength(side.text, d.Units()); err != nil {
			return desk.In(err, side.field)
		}
		it.Outer = nil
	}
	if c.Mass != "" {
		if it.Mass, err = measure.ParseMass(c.Mass, d.Units()); err != nil {
			return desk.In(err, "mass")
		}
	}
	q.Item, q.Like = &it, like.Spec.ID
	return nil
}

// cards reads the price cards: the id of a loaded one, a folder, or a file.
func (c *WhatIf) cards(d *desk.Open, q *suppose.WhatIfIn) error {
	if len(c.Card) == 0 {
		return nil
	}
	loaded, err := pricecards.Cards(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	for _, name := range c.Card {
		if slices.ContainsFunc(loaded, func(r pricecards.CardInfo) bool { return r.ID == name }) {
			q.Named = append(q.Named, name)
			continue
		}
		card, err := d.CardIn(name)
		if err != nil {
			return err
		}
		q.Cards = append(q.Cards, card)
	}
	return nil
}

func printWhatIf(w io.Writer, found suppose.WhatIf, all bool) {
	for _, change := range found.Changes {
		fmt.Fprintf(w, "what if: %s\n", change)
	}
	if found.Stopped {
		fmt.Fprintf(w, "stopped: %d of %d sendings were planned; the rest is in no sum\n", len(found.Rows), found.All)
	}
	desk.Table(w, func(row func(string, ...any)) {
		row("as the studio is\t%s", found.Without)
		row("with the change\t%s", found.With)
		row("it saves\t%s", found.Saves)
	})
	fmt.Fprintf(w, "over %d sendings", found.Compared)
	if found.Left > 0 {
		fmt.Fprintf(w, "; %d more cannot go one of the two ways and stand in no sum", found.Left)
	}
	fmt.Fprintln(w)
	printPlot(w, found)
	printSendings(w, found, all)
	fmt.Fprintln(w)
	for _, text := range found.Assumptions {
		fmt.Fprintf(w, "assumed: %s\n", text)
	}
}

// printPlot draws what is saved as bars of text.
func printPlot(w io.Writer, found suppose.WhatIf) {
	p, months := found.Plot()
	if p == nil {
		return
	}
	what := "sending"
	if months {
		what = "month"
	}
	fmt.Fprintf(w, "\nby %s: + saves, - costs more\n", what)
	desk.Table(w, func(row func(string, ...any)) {
		for _, l := range p.TextLines(found.Saves.Currency) {
			row("  %s\t%s\t%s", l[0], l[2], l[1])
		}
	})
}

// printSendings lists the sendings that change, or all.
func printSendings(w io.Writer, found suppose.WhatIf, all bool) {
	fmt.Fprintln(w)
	desk.Table(w, func(row func(string, ...any)) {
		row("ORDER\tDAY\tAS IT IS\tCOST\tWITH THE CHANGE\tCOST\tSAVES")
		for _, r := range found.Rows {
			if !all && r.Same() {
				continue
			}
			without, with, saves := r.Without.String(), r.With.String(), r.Saves.String()
			wayWithout, wayWith := r.WayWithout, r.WayWith
			if r.HeldWithout != "" {
				without, saves, wayWithout = "", "", "cannot go: "+r.HeldWithout
			}
			if r.HeldWith != "" {
				with, saves, wayWith = "", "", "cannot go: "+r.HeldWith
			}
			if wayWith == wayWithout {
				wayWith = sameWay(r)
			}
			row("%s\t%s\t%s\t%s\t%s\t%s\t%s", r.Order, r.Day.Short(), wayWithout, without, wayWith, with, saves)
		}
	})
	if same := found.Same(); same > 0 && !all {
		fmt.Fprintf(w, "%d sendings stay as they are (--all lists them)\n", same)
	}
}

// sameWay says that a sending keeps wrap, outer packaging and service; what is inside may differ.
func sameWay(r suppose.WhatIfRow) string {
	if r.Saves.IsZero() {
		return "the same way"
	}
	return "the same way outside"
}
