package cli

import (
	"fmt"
	"io"
	"strings"

	"solander/studio"
)

type handOverCmd struct {
	Parcel []int64 `arg:"" optional:"" help:"Numbers of the parcels; all that are labelled when left out."`
	Day    string  `placeholder:"DAY" help:"Day; today when left out."`
	Note   string  `placeholder:"TEXT" help:"A note to it."`
	List   bool    `help:"List past hand-overs instead."`
	Show   int64   `placeholder:"ID" help:"Show one past hand-over instead."`
}

func (handOverCmd) Help() string {
	return "Example:\n\n  solander hand-over --day 2026-04-14\n  solander hand-over --list"
}

func (c *handOverCmd) Run(d *open) error {
	switch {
	case c.List:
		return c.list(d)
	case c.Show != 0:
		return d.showHandOver(c.Show)
	}
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	h, err := d.st.HandOver(d.ctx, studio.HandOverIn{Day: on, Parcels: c.Parcel, Note: c.Note})
	if err != nil {
		return err
	}
	return d.showHandOver(h.ID)
}

func (c *handOverCmd) list(d *open) error {
	rows, err := d.st.HandOvers(d.ctx)
	if err != nil {
		return err
	}
	return d.show(rows, func(w io.Writer) {
		table(w, func(row func(string, ...any)) {
			row("HAND-OVER\tDAY\tPARCELS\tNOTE")
			for _, h := range rows {
				row("%d\t%s\t%d\t%s", h.ID, h.Day.Long(), h.Parcels, oneLine(h.Note))
			}
		})
	})
}

func (d *open) showHandOver(id int64) error {
	h, parcels, orders, err := d.st.HandOverDetail(d.ctx, id)
	if err != nil {
		return err
	}
	marks := map[int64]string{}
	for _, o := range orders {
		marks[o.ID] = o.Mark + " " + o.BuyerData.Name
	}
	answer := struct {
		studio.HandOver
		Parcels []studio.Parcel `json:"parcel_list"`
	}{h, parcels}
	paid, err := studio.PostagePaid(parcels)
	if err != nil {
		return err
	}
	return d.show(answer, func(w io.Writer) {
		fmt.Fprintf(w, "hand-over %d, %s, parcels: %d\n", h.ID, h.Day.Long(), len(parcels))
		table(w, func(row func(string, ...any)) {
			for _, p := range parcels {
				of := marks[p.Order]
				if all := p.Marks(); len(all) > 1 {
					of += " (" + strings.Join(all, ", ") + ")"
				}
				row("  parcel %d\t%s\t%s\t%s\t%s", p.ID, of, p.Service, p.Paid, p.Tracking)
			}
		})
		fmt.Fprintf(w, "postage paid: %s\n", paid)
	})
}
