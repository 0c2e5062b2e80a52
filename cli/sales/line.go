package sales

import (
	"solander/book"
	"solander/cli/desk"
)

type Renumber struct {
	Line   string `arg:"" predictor:"order" help:"The line: the order's mark, with the print's number where it has several ('S-1042 17/250'), or the number that solander order shows."`
	Number string `arg:"" help:"The number wanted: 17, 17/250 or AP 2."`
}

func (Renumber) Help() string {
	return "Example:\n\n  solander renumber S-1042 17\n  solander renumber \"S-1042 9/100\" 17"
}

func (c *Renumber) Run(d *desk.Open) error {
	l, err := d.LineNamed(c.Line)
	if err != nil {
		return err
	}
	err = book.Renumber(d.Ctx, d.Studio, l.ID, c.Number)
	return d.Done(err, map[string]any{"line": l.ID, "number": c.Number}, "line %d has number %s", l.ID, c.Number)
}

type Price struct {
	Line  string `arg:"" predictor:"order" help:"The line: the order's mark, with the print's number where it has several ('S-1042 17/250'), or the number that solander order shows."`
	Price string `arg:"" help:"What it costs the buyer now."`
}

func (Price) Help() string {
	return "The order is open, and the print not packed yet. Of one that left, a credit note takes off what is too much (solander owed credit).\n\nExample:\n\n  solander price \"S-1042 17/250\" 90"
}

func (c *Price) Run(d *desk.Open) error {
	l, err := d.LineNamed(c.Line)
	if err != nil {
		return err
	}
	a, err := d.Amount(c.Price, "price")
	if err != nil {
		return err
	}
	err = book.LinePrice(d.Ctx, d.Studio, l.ID, a)
	return d.Done(err, map[string]any{"line": l.ID, "price": a}, "line %d costs %s", l.ID, a)
}

type Drop struct {
	Line   string `arg:"" predictor:"order" help:"The line: the order's mark, with the print's number where it has several ('S-1042 17/250'), or the number that solander order shows."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (Drop) Help() string {
	return "Example:\n\n  solander drop \"S-1042 17/250\" --reason \"chose one print only\""
}

func (c *Drop) Run(d *desk.Open) error {
	l, err := d.LineNamed(c.Line)
	if err != nil {
		return err
	}
	err = book.DropLine(d.Ctx, d.Studio, l.ID, c.Reason)
	return d.Done(err, map[string]any{"dropped": l.ID}, "line %d is out of its order", l.ID)
}
