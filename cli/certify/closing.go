package certify

import (
	"context"
	"io"

	"solander/certify"
	"solander/cli/desk"
	"solander/studio"
)

type closingCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	desk.SheetOut
}

func (closingCmd) Help() string {
	return "Example:\n\n  solander certificate closing heron -o closing.pdf"
}

func (c *closingCmd) Run(d *desk.Open) error {
	return paperOf(d, c.Edition, c.SheetOut, "declaration", certify.Declaration)
}

type statementCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	desk.SheetOut
}

func (statementCmd) Help() string {
	return "An open edition has no limit and no numbers, and its prints no certificates. The statement promises no limit; sign it by hand.\n\nExample:\n\n  solander certificate statement postcards -o statement.pdf"
}

func (c *statementCmd) Run(d *desk.Open) error {
	return paperOf(d, c.Edition, c.SheetOut, "statement", certify.Statement)
}

// paperOf writes a paper of an edition.
func paperOf[P interface{ Draw() ([]byte, error) }](d *desk.Open, name string, to desk.SheetOut, what string, of func(context.Context, *studio.Studio, int64) (P, error)) error {
	e, err := d.EditionNamed(name)
	if err != nil {
		return err
	}
	paper, err := of(d.Ctx, d.Studio, e.ID)
	if err != nil {
		return err
	}
	pdf, err := paper.Draw()
	return written(d, to, what, pdf, err)
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
