package movein

import (
	"strings"

	"solander/intake"
	"solander/studio"
)

// OriginView is a row as it stood in a file.
type OriginView struct {
	studio.KeptRow
	Place string
	Class string
	Word  string
	Cells []originCell
}

type originCell struct{ Letters, Text string }

func OriginViews(rows []studio.KeptRow) ([]OriginView, string) {
	var out []OriginView
	var fills []intake.Fill
	for _, k := range rows {
		v := OriginView{KeptRow: k, Place: placeWords(intake.Place{Sheet: k.Sheet, Row: k.Row}), Class: fillClass(k.Fill), Word: k.Fill.Word()}
		fills = append(fills, k.Fill)
		for i, c := range k.Cells {
			if strings.TrimSpace(c) != "" {
				v.Cells = append(v.Cells, originCell{intake.Letters(i), c})
			}
		}
		out = append(out, v)
	}
	return out, coloursPath(fills)
}
