package measure

import (
	"math/big"
	"strings"

	"solander/fault"
)

// basisArea is the area of the basic sheet of a grade of paper in square inches, times four so that it
// is whole. Basis weight is the mass in pounds of a ream of 500 such sheets.
// Source of the sizes: paper basis-weight tables as published by the North American paper trade (bond
// 17 × 22, cover 20 × 26, bristol 22 1/2 × 28 1/2, index 25 1/2 × 30 1/2, tag 24 × 36, text 25 × 38,
// watercolour 22 × 30).
var basisArea = map[string]int64{
	"bond": 4 * 374, "writing": 4 * 374, "ledger": 4 * 374,
	"cover": 4 * 520, "bristol": 2565, "index": 3111, "tag": 4 * 864, "newsprint": 4 * 864,
	"text": 4 * 950, "book": 4 * 950, "offset": 4 * 950,
	"watercolour": 4 * 660, "watercolor": 4 * 660, "printmaking": 4 * 660,
}

// BasisWeight converts a basis weight in pounds per ream of 500 basic sheets to a grammage, rounded to
// the nearest mg/m². Faults: Invalid for an unknown grade.
func BasisWeight(pounds *big.Rat, grade string) (Grammage, error) {
	area, ok := basisArea[strings.ToLower(grade)]
	if !ok {
		return 0, fault.New(fault.Invalid, "%q is not a grade of paper with a basis weight", clip(grade)).
			ToMend("use bond, cover, bristol, index, tag, text or watercolour, or give it in gsm")
	}
	// mg/m² = lb × 453 592.37 mg / (500 × area/4 in² × 0.00064516 m²/in²)
	r := new(big.Rat).Mul(pounds, big.NewRat(45_359_237, 100))
	r.Quo(r, new(big.Rat).Mul(big.NewRat(500*area, 4), big.NewRat(64_516, 100_000_000)))
	n := round(r)
	if !n.IsInt64() || n.Int64() > int64(MaxGrammage) {
		return 0, fault.New(fault.Invalid, "the basis weight is absurdly large")
	}
	return Grammage(n.Int64()), nil
}

func parseBasis(text string) (Grammage, bool, error) {
	f := strings.Fields(strings.ToLower(strings.ReplaceAll(text, "#", " lb ")))
	if len(f) != 3 || f[1] != "lb" && f[1] != "lbs" {
		return 0, false, nil
	}
	v, ok := value(f[0])
	if !ok {
		return 0, false, nil
	}
	g, err := BasisWeight(v, f[2])
	return g, true, err
}

// SheetMass returns the mass of a sheet in nanograms, rounded up.
func (g Grammage) SheetMass(width, height Length) Mass {
	// 1 mg/m² × 1 nm² = 10⁻¹⁸ mg = 10⁻¹² ng
	p := new(big.Int).Mul(big.NewInt(int64(width)), big.NewInt(int64(height)))
	p.Mul(p, big.NewInt(int64(g)))
	q, r := p.QuoRem(p, big.NewInt(1_000_000_000_000), new(big.Int))
	if r.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return Mass(q.Int64())
}
