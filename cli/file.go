package cli

import (
	"io"

	"solander/fault"
	"solander/papers"
)

// fileOut is where a file of another kind than a paper goes.
type fileOut struct {
	Output string `short:"o" placeholder:"FILE" help:"File to write (- is the output stream)."`
	Force  bool   `help:"Replace the file when it exists."`
}

// write writes a file that a use case makes.
func (d *desk) write(c fileOut, write func(io.Writer) error) error {
	if c.Output == "" {
		return fault.Invalidf("output", "no file is named").ToMend("add -o FILE, or -o - for the output stream")
	}
	if err := d.toFile(c.Output, c.Force, write); err != nil || c.Output == "-" {
		return err
	}
	return d.say(map[string]string{"written": c.Output}, "written: %s", c.Output)
}

// sheetOut is where a paper goes.
type sheetOut struct {
	Output string `short:"o" required:"" placeholder:"FILE" help:"PDF file to write (- is the output stream)."`
	Force  bool   `help:"Replace the file when it exists."`
}

// draw writes a paper that a use case made.
func draw[P papers.Paper](d *desk, c sheetOut, paper P, err error) error {
	if err != nil {
		return err
	}
	pdf, err := d.env.Draw(paper)
	if err != nil {
		return err
	}
	write := func(w io.Writer) error { _, err := w.Write(pdf); return err }
	if err := d.toFile(c.Output, c.Force, write); err != nil || c.Output == "-" {
		return err
	}
	return d.say(map[string]string{"written": c.Output, "paper": paper.Title()}, "%s: %s", paper.Title(), c.Output)
}
