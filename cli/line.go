package cli

type renumberCmd struct {
	Line   int64  `arg:"" help:"Number of the line (solander order shows it)."`
	Number string `arg:"" help:"The number wanted: 17, 17/250 or AP 2."`
}

func (renumberCmd) Help() string { return "Example:\n\n  solander renumber 88 17" }

func (c *renumberCmd) Run(d *open) error {
	if err := d.st.Renumber(d.ctx, c.Line, c.Number); err != nil {
		return err
	}
	return d.say(map[string]any{"line": c.Line, "number": c.Number}, "line %d has number %s", c.Line, c.Number)
}

type dropCmd struct {
	Line   int64  `arg:"" help:"Number of the line (solander order shows it)."`
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (dropCmd) Help() string {
	return "Example:\n\n  solander drop 88 --reason \"chose one print only\""
}

func (c *dropCmd) Run(d *open) error {
	if err := d.st.DropLine(d.ctx, c.Line, c.Reason); err != nil {
		return err
	}
	return d.say(map[string]any{"dropped": c.Line}, "line %d is out of its order", c.Line)
}
