package check

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
)

// withMargin is an order whose sheets are as heavy and as thick as the margin lets them be.
// Source: docs/formats/problem.md, section 4.
func withMargin(o packing.Order, m packing.Margin) *packing.Order {
	sheets := make([]packing.Sheet, 0, len(o.Sheets))
	for _, s := range o.Sheets {
		if s.Grammage > 0 {
			s.Mass = measure.Mass(exact.More(int64(exact.MassOf(&s)), m.Grammage))
			s.Grammage = 0
		}
		s.Caliper = measure.Length(exact.More(int64(s.Caliper), m.Caliper))
		sheets = append(sheets, s)
	}
	o.Sheets = sheets
	return &o
}
