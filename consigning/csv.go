package consigning

import (
	"io"

	"solander/export"
)

// WriteCSV writes a statement as a table: docs/formats/galleries.md.
func WriteCSV(w io.Writer, v StatementView) error {
	rows := [][]string{{"day", "what", "sold_for", "gallery_keeps", "amount", "owed", "currency"}}
	cur := v.Closing.Currency
	rows = append(rows, []string{"", "owed before", "", "", "", v.Opening.Plain(), cur})
	for _, e := range v.Entries {
		r := []string{e.Day.String(), v.What(e), "", "", e.Amount.Plain(), e.Owed.Plain(), cur}
		if e.Print != nil {
			r[2], r[3] = e.Sold.Plain(), e.Kept.Plain()
		}
		rows = append(rows, r)
	}
	rows = append(rows, []string{v.To.String(), "owed", "", "", "", v.Closing.Plain(), cur})
	out := export.NewWriter(w, ',')
	for _, r := range rows {
		for i := range r {
			if i == 1 {
				r[i] = export.Guard(r[i])
			}
		}
		if err := out.Write(r...); err != nil {
			return err
		}
	}
	return out.Flush()
}
