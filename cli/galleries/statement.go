package galleries

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/consigning"
)

type statementCmd struct {
	Gallery string `arg:"" help:"Its number in the list, or words of its name."`
	From    string `placeholder:"DAY" help:"First day; from the beginning when left out."`
	To      string `placeholder:"DAY" help:"Last day; today when left out."`
	desk.FileOut
}

// Help gives an example.
func (statementCmd) Help() string {
	return "A file whose name ends in .csv is a table, any other a PDF.\n\nExample:\n\n  solander gallery statement harbour --from 2026-01-01 -o statement.pdf"
}

// Run shows a statement, or writes it.
func (c *statementCmd) Run(d *desk.Open) error {
	v, err := named(d, c.Gallery)
	if err != nil {
		return err
	}
	from, to, err := days(c.From, "from", c.To, "to")
	if err != nil {
		return err
	}
	if strings.HasSuffix(strings.ToLower(c.Output), ".csv") {
		s, err := consigning.Statement(d.Ctx, d.Studio, v.ID, from, to)
		if err != nil {
			return err
		}
		return d.Write(c.FileOut, func(w io.Writer) error { return consigning.WriteCSV(w, s) })
	}
	if c.Output != "" {
		paper, err := consigning.Paper(d.Ctx, d.Studio, v.ID, from, to)
		return desk.Draw(d.Desk, desk.SheetOut{Output: c.Output, Force: c.Force}, paper, err)
	}
	s, err := consigning.Statement(d.Ctx, d.Studio, v.ID, from, to)
	if err != nil {
		return err
	}
	return d.Show(s, func(w io.Writer) {
		fmt.Fprintf(w, "%s, %s: owed before %s\n", s.Name, s.Span(), s.Opening)
		desk.Table(w, func(row func(string, ...any)) {
			row("DAY\tWHAT\tSOLD FOR\tKEPT\tHERS\tOWED")
			for _, e := range s.Entries {
				row("%s\t%s\t%s\t%s\t%s\t%s", e.Day, s.What(e), e.Sold.Plain(), e.Kept.Plain(), e.Amount.Plain(), e.Owed.Plain())
			}
		})
		fmt.Fprintf(w, "owed %s\n", s.Closing)
		for _, p := range s.There {
			fmt.Fprintf(w, "there: %s, since %s, %s\n", s.Names[p.ID], p.Went, p.Price)
		}
		for _, t := range s.Cautions {
			fmt.Fprintln(w, t)
		}
	})
}
