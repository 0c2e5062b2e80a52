package desk

import (
	"io"

	"solander/fault"
	"solander/papers"
)

// FileOut is where a file of another kind than a paper goes.
type FileOut struct {
	Output string `short:"o" placeholder:"FILE" predictor:"file" help:"File to write (- is the output stream)."`
	Force  bool   `help:"Replace the file when it exists."`
}

// Write writes a file that a use case makes.
func (d *Desk) Write(c FileOut, write func(io.Writer) error) error {
	if c.Output == "" {
		return fault.Invalidf("output", "no file is named").ToMend("add -o FILE, or -o - for the output stream")
	}
	if err := d.ToFile(c.Output, c.Force, write); err != nil || c.Output == "-" {
		return err
	}
	return d.Say(map[string]string{"written": c.Output}, "written: %s", c.Output)
}

// SheetOut is where a paper goes.
type SheetOut struct {
	Output string `short:"o" required:"" placeholder:"FILE" predictor:"file" help:"PDF file to write (- is the output stream)."`
	Force  bool   `help:"Replace the file when it exists."`
}

// Draw writes a paper that a use case made.
func Draw[P papers.Paper](d *Desk, c SheetOut, paper P, err error) error {
	if err != nil {
		return err
	}
	pdf, err := d.Env.Draw(paper)
	if err != nil {
		return err
	}
	write := func(w io.Writer) error { _, err := w.Write(pdf); return err }
	if err := d.ToFile(c.Output, c.Force, write); err != nil || c.Output == "-" {
		return err
	}
	return d.Say(map[string]string{"written": c.Output, "paper": paper.Title()}, "%s: %s", paper.Title(), c.Output)
}
