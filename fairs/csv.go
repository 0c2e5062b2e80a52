package fairs

import (
	"io"
	"strings"

	"solander/export"
	"solander/order"
)

// WriteCSV writes a day as a table: docs/formats/fairs.md.
func WriteCSV(w io.Writer, v View) error {
	cur := v.Takings.Currency
	rows := [][]string{{"what", "of", "text", "amount", "currency"}}
	add := func(what, of, text, amount string) { rows = append(rows, []string{what, of, text, amount, cur}) }
	add("day", v.Day.Day.String(), v.Name, "")
	add("outlet", "", v.OutletName, "")
	for _, p := range v.Sold {
		what := "sold"
		if p.Back {
			what = "came back"
		}
		add(what, p.Mark, p.Print, p.Price.Plain())
	}
	for _, h := range order.Hows() {
		add("taken", strings.ReplaceAll(h.Words(), " ", "-"), "", v.Takings.By(h).Plain())
	}
	add("taken in all", "", "", v.Sum.Plain())
	for _, c := range v.Costs {
		of := "to-pay"
		if c.FromBox {
			of = "from-box"
		}
		add("cost", of, strings.TrimSuffix(c.Kind.Words()+": "+c.Note, ": "), c.Amount.Plain())
	}
	add("float", "", "", v.Float.Plain())
	add("in the cash box", "", "", v.Box.Plain())
	if v.Ended {
		add("counted", "", "", v.Counted.Plain())
		add("off", "", v.Why, v.Off.Plain())
	}
	for _, c := range v.Carried {
		add("carried", c.Day.String(), c.Note, c.Amount.Plain())
	}
	for _, s := range v.Earned.Sums {
		add("earned", string(s.Part), s.Part.Words(), moneyOf(s.Known, cur))
	}
	add("left", "", "", v.Left.Plain())
	out := export.NewWriter(w, ',')
	for _, r := range rows {
		r[2] = export.Guard(r[2])
		if err := out.Write(r...); err != nil {
			return err
		}
	}
	return out.Flush()
}
