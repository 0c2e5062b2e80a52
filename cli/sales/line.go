package sales

import (
	"solander/book"
	"solander/cli/desk"
)

type Renumber struct {
	Line   int64  `arg:"" help:"Number of the line (solander order shows it)."`
	Number string `arg:"" help:"The number wanted: 17, 17/250 or AP 2."`
}

func (Renumber) Help() string { return "Example:\n\n  solander renumber 88 17" }

func (c *Renumber) Run(d *desk.Open) error {
	err := book.Renumber(d.Ctx, d.Studio, c.Line, c.Number)
	return d.Done(err, map[string]any{"line": c.Line, "number": c.Number}, "line %d has number %s", c.Line, c.Number)
}

type Drop struct {
	Line   int64  `arg:"" help:"Number of the line (solander order shows it)."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (Drop) Help() string {
	return "Example:\n\n  solander drop 88 --reason \"chose one print only\""
}

func (c *Drop) Run(d *desk.Open) error {
	err := book.DropLine(d.Ctx, d.Studio, c.Line, c.Reason)
	return d.Done(err, map[string]any{"dropped": c.Line}, "line %d is out of its order", c.Line)
}
