package sales

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/house"
	"solander/intake/mail"
	"solander/register"
)

// takeApart prints what a pasted mail says, each field with the words it was taken from; nothing is written.
func (c *Sale) takeApart(d *desk.Open) error {
	known, err := knownTo(d)
	if err != nil {
		return err
	}
	text, err := d.ReadFile(c.Paste, "paste")
	if err != nil {
		return err
	}
	read := mail.Take(string(text), known)
	return d.Show(read, func(w io.Writer) { tellRead(w, read) })
}

func knownTo(d *desk.Open) (mail.Known, error) {
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return mail.Known{}, err
	}
	k := mail.Known{Country: set.Address.Country, Currency: set.Currency, Units: set.Units}
	works, err := register.Works(d.Ctx, d.Studio)
	if err != nil {
		return k, err
	}
	for _, w := range works {
		for _, e := range w.Editions {
			if !e.Closed && (e.Open() || e.Unsold > 0) {
				k.Editions = append(k.Editions, mail.Edition{Edition: e.Edition, Title: w.Title})
			}
		}
	}
	outlets, err := house.Outlets(d.Ctx, d.Studio)
	if err != nil {
		return k, err
	}
	for _, u := range outlets {
		if !u.Closed {
			k.Outlets = append(k.Outlets, u.Name)
		}
	}
	return k, nil
}

func tellRead(w io.Writer, read mail.Read) {
	for _, f := range read.Fields {
		fmt.Fprintf(w, "%-18s %s\n", f.Field, f.Value)
		if f.Words != "" {
			fmt.Fprintf(w, "%-18s from: %s\n", "", f.Words)
		}
		if f.Doubt != "" {
			fmt.Fprintf(w, "%-18s doubtful: %s\n", "", f.Doubt)
		}
	}
	for i, p := range read.Prints {
		fmt.Fprintf(w, "%-18s edition %d %s\n%-18s from: %s\n", fmt.Sprintf("print %d", i+1), p.Edition, strings.TrimSpace(p.Number+" "+p.Price), "", p.Words)
		if p.Doubt != "" {
			fmt.Fprintf(w, "%-18s doubtful: %s\n", "", p.Doubt)
		}
	}
	for _, l := range read.Rest {
		fmt.Fprintf(w, "%-18s %s\n", "not understood", l)
	}
}
