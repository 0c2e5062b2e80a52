package check

import (
	"math/big"

	"solander/measure"
	"solander/packing"
)

// withMargin is an order whose sheets are as heavy and as thick as the margin lets them be.
// Source: docs/formats/problem.md, section 4.
func withMargin(o packing.Order, m packing.Margin) *packing.Order {
	sheets := make([]packing.Sheet, 0, len(o.Sheets))
	for _, s := range o.Sheets {
		if s.Grammage > 0 {
			s.Mass = measure.Mass(more(int64(massOf(&s)), m.Grammage))
			s.Grammage = 0
		}
		s.Caliper = measure.Length(more(int64(s.Caliper), m.Caliper))
		sheets = append(sheets, s)
	}
	o.Sheets = sheets
	return &o
}

// more is n · (1000 + thousandths) / 1000, rounded up.
func more(n int64, thousandths int) int64 {
	return saturated(roundUp(new(big.Int).Mul(big.NewInt(n), big.NewInt(1000+int64(thousandths))), big.NewInt(1000)))
}
