package certify

import (
	"io"

	"solander/certify"
	"solander/cli/desk"
)

type closingCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	desk.SheetOut
}

func (closingCmd) Help() string {
	return "Example:\n\n  solander certificate closing heron -o closing.pdf"
}

func (c *closingCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	paper, err := certify.Declaration(d.Ctx, d.Studio, e.ID)
	if err != nil {
		return err
	}
	pdf, err := paper.Draw()
	return written(d, c.SheetOut, "declaration", pdf, err)
}

// written writes a file that was drawn, and says so.
func written(d *desk.Open, to desk.SheetOut, what string, body []byte, err error) error {
	if err != nil {
		return err
	}
	err = d.ToFile(to.Output, to.Force, func(w io.Writer) error { _, err := w.Write(body); return err })
	if err != nil || to.Output == "-" {
		return err
	}
	return d.Say(map[string]string{"written": to.Output, "paper": what}, "%s: %s", what, to.Output)
}
