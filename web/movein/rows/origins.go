// Package rows is how a row of a file looks on a page: its place in words, its cells, its colour. Pages of the files and of an
// order that was made of a row show it alike. It reads no file and asks nothing.
package rows

import (
	"fmt"
	"strings"

	"solander/intake"
	"solander/intake/kept"
)

// Origin is a row as it stood in a file.
type Origin struct {
	kept.Brought
	Place string
	Class string
	Word  string
	Cells []originCell
}

type originCell struct{ Letters, Text string }

func Origins(rows []kept.Brought) ([]Origin, string) {
	var out []Origin
	var fills []intake.Fill
	for _, k := range rows {
		v := Origin{Brought: k, Place: PlaceWords(intake.Place{Sheet: k.Sheet, Row: k.Row}), Class: FillClass(k.Fill), Word: k.Fill.Word()}
		fills = append(fills, k.Fill)
		for i, c := range k.Cells {
			if strings.TrimSpace(c) != "" {
				v.Cells = append(v.Cells, originCell{intake.Letters(i), c})
			}
		}
		out = append(out, v)
	}
	return out, ColoursPath(fills)
}

// PlaceWords says where something stands in a file.
func PlaceWords(p intake.Place) string {
	text := fmt.Sprintf("row %d", p.Row)
	if p.Sheet != "" {
		text += " of " + p.Sheet
	}
	if p.Column != "" {
		text += ", column " + p.Column
	}
	return text
}
