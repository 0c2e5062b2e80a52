package measure

import (
	"math"
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
// the nearest mg/m². Faults: Invalid for an unknown grade, a negative or an absurd weight.
func BasisWeight(pounds *big.Rat, grade string) (Grammage, error) {
	area, ok := basisArea[strings.ToLower(grade)]
	if !ok {
		return 0, fault.New(fault.Invalid, "%q is not a grade of paper with a basis weight", fault.Clip(grade)).
			ToMend("use bond, cover, bristol, index, tag, text or watercolour, or give it in gsm")
	}
	if pounds == nil || pounds.Sign() < 0 {
		return 0, fault.New(fault.Invalid, "a basis weight is a number of pounds, not less than 0")
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

// parseBasis reads "80 lb cover", "80lb cover" or "80# cover"; ok is false for any other form.
func parseBasis(text string) (g Grammage, ok bool, err error) {
	number, rest := cut(text)
	rest = strings.ToLower(strings.TrimSpace(rest))
	grade := ""
	for _, unit := range []string{"lbs", "lb", "#"} {
		if after, found := strings.CutPrefix(rest, unit); found {
			grade = strings.TrimSpace(after)
			break
		}
	}
	if grade == "" || ambiguous(number) {
		return 0, false, nil
	}
	pounds, ok := value(number)
	if !ok {
		return 0, false, nil
	}
	g, err = BasisWeight(pounds, grade)
	return g, true, err
}

// SheetMass returns the mass of a sheet in nanograms, rounded up. Any sheet of accepted measures fits;
// what would not fit, or has a negative measure, is the largest Mass or nothing: never a small one.
func (g Grammage) SheetMass(width, height Length) Mass {
	if width <= 0 || height <= 0 || g <= 0 {
		return 0
	}
	// 1 mg/m² × 1 nm² = 10⁻¹⁸ mg = 10⁻¹² ng
	p := new(big.Int).Mul(big.NewInt(int64(width)), big.NewInt(int64(height)))
	p.Mul(p, big.NewInt(int64(g)))
	q, r := p.QuoRem(p, big.NewInt(1_000_000_000_000), new(big.Int))
	if r.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	if !q.IsInt64() {
		return math.MaxInt64
	}
	return Mass(q.Int64())
}
