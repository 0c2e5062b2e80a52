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
	Parcel []string `arg:"" optional:"" predictor:"order" help:"Parcels, by the marks of their orders or by number; all that are labelled when left out."`
	Day    string   `placeholder:"DAY" help:"Day; today when left out."`
	Note   string   `placeholder:"TEXT" help:"A note to it."`
	List   bool     `help:"List past hand-overs instead."`
	Show   string   `placeholder:"HAND-OVER" help:"Show one past hand-over instead, by its day or number."`
}

func (HandOver) Help() string {
	return "Example:\n\n  solander hand-over --day 2026-04-14\n  solander hand-over S-1042\n  solander hand-over --list"
}

func (c *HandOver) Run(d *desk.Open) error {
	switch {
	case c.List:
		return c.list(d)
	case c.Show != "":
		id, err := d.HandOverNamed(c.Show, "show")
		if err != nil {
			return err
		}
		return showHandOver(d, id)
	}
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	in := dispatch.HandOverIn{Day: on, Note: c.Note}
	for _, name := range c.Parcel {
		p, err := d.ParcelNamed(name, studio.Labelled)
		if err != nil {
			return err
		}
		in.Parcels = append(in.Parcels, p.ID)
	}
	h, err := dispatch.HandOver(d.Ctx, d.Studio, in)
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
