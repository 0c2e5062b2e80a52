package dispatch

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/dispatch"
	"solander/planning"
	"solander/studio"
)

type HandOver struct {
	Parcel []int64 `arg:"" optional:"" help:"Numbers of the parcels; all that are labelled when left out."`
	Day    string  `placeholder:"DAY" help:"Day; today when left out."`
	Note   string  `placeholder:"TEXT" help:"A note to it."`
	List   bool    `help:"List past hand-overs instead."`
	Show   int64   `placeholder:"ID" help:"Show one past hand-over instead."`
}

func (HandOver) Help() string {
	return "Example:\n\n  solander hand-over --day 2026-04-14\n  solander hand-over --list"
}

func (c *HandOver) Run(d *desk.Open) error {
	switch {
	case c.List:
		return c.list(d)
	case c.Show != 0:
		return showHandOver(d, c.Show)
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	h, err := dispatch.HandOver(d.Ctx, d.Studio, dispatch.HandOverIn{Day: on, Parcels: c.Parcel, Note: c.Note})
	if err != nil {
		return err
	}
	return showHandOver(d, h.ID)
}

func (c *HandOver) list(d *desk.Open) error {
	rows, err := dispatch.HandOvers(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(rows, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("HAND-OVER\tDAY\tPARCELS\tNOTE")
			for _, h := range rows {
				row("%d\t%s\t%d\t%s", h.ID, h.Day.Long(), h.Parcels, desk.OneLine(h.Note))
			}
		})
	})
}

func showHandOver(d *desk.Open, id int64) error {
	h, parcels, orders, err := dispatch.HandOverDetail(d.Ctx, d.Studio, id)
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
	paid, err := planning.PostagePaid(parcels)
	if err != nil {
		return err
	}
	return d.Show(answer, func(w io.Writer) {
		fmt.Fprintf(w, "hand-over %d, %s, parcels: %d\n", h.ID, h.Day.Long(), len(parcels))
		desk.Table(w, func(row func(string, ...any)) {
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
