package measure_test

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
)

// Source: international yard and pound agreement of 1959 (US Federal Register notice of 1 July 1959):
// 1 yd = 0.9144 m, 1 lb avoirdupois = 0.453 592 37 kg, both exact (from memory).
// Source: NIST SP 811 appendix B.8 and NIST Handbook 44 appendix C, exact factors: inch 2.54 cm, foot
// 0.3048 m, mil 25.4 µm, ounce 28.349 523 125 g, 16 oz = 1 lb, 12 in = 1 ft (from memory).
func TestUnitsAreThePublishedOnes(t *testing.T) {
	const yard = 3 * measure.Foot
	for name, c := range map[string]struct{ got, want int64 }{
		"yard":                {int64(yard), 914_400_000},
		"foot":                {int64(measure.Foot), 304_800_000},
		"inch":                {int64(measure.Inch), 25_400_000},
		"mil":                 {int64(measure.Mil), 25_400},
		"1/64 in, whole":      {int64(measure.Inch/64) * 64, 25_400_000},
		"metre":               {int64(measure.Metre), 1_000_000_000},
		"centimetre":          {int64(measure.Centimetre), 10_000_000},
		"pound":               {int64(measure.Pound), 453_592_370_000},
		"ounce":               {int64(measure.Ounce), 28_349_523_125},
		"ounces of a pound":   {int64(measure.Pound / measure.Ounce), 16},
		"kilogram":            {int64(measure.Kilogram), 1_000_000_000_000},
		"gram per sq. metre":  {int64(measure.GSM), 1000},
		"parts of the system": {int64(len(measure.Systems())), 2},
	} {
		if c.got != c.want {
			t.Errorf("%s is %d base units, want %d", name, c.got, c.want)
		}
	}
}

// Source: basis-weight tables of the North American paper trade, as printed by mills and merchants: basic
// size and the rounded factor from pounds to g/m², and from g/m² to pounds.
var grades = []struct {
	grade         string
	width, height float64
	exact         float64 // 453.592 37 g / (500 × width × height × 0.000 645 16 m²), computed
	factor, back  float64 // as published; 0 where none was found
}{
	{"bond", 17, 22, 3.75973, 3.760, 0.266},
	{"writing", 17, 22, 3.75973, 3.760, 0.266},
	{"ledger", 17, 22, 3.75973, 3.760, 0.266},
	{"cover", 20, 26, 2.70411, 2.704, 0.370},
	{"bristol", 22.5, 28.5, 2.19281, 2.19, 0},
	{"index", 25.5, 30.5, 1.80796, 1.81, 0},
	{"tag", 24, 36, 1.62748, 1.627, 0.614},
	{"newsprint", 24, 36, 1.62748, 1.627, 0.614},
	{"text", 25, 38, 1.48015, 1.480, 0.675},
	{"book", 25, 38, 1.48015, 1.480, 0.675},
	{"offset", 25, 38, 1.48015, 1.480, 0.675},
	{"watercolour", 22, 30, 2.13051, 0, 0},
	{"watercolor", 22, 30, 2.13051, 0, 0},
	{"printmaking", 22, 30, 2.13051, 0, 0},
}

func TestBasisWeightFactors(t *testing.T) {
	for _, g := range grades {
		const pounds = 1000 // so that rounding to 1 mg/m² shows in the sixth digit of the factor
		got, err := measure.BasisWeight(big.NewRat(pounds, 1), g.grade)
		if err != nil {
			t.Errorf("%s: %v", g.grade, err)
			continue
		}
		factor := float64(got) / float64(measure.GSM) / pounds
		near(t, g.grade+" computed", factor, g.exact, 0.000_005)
		near(t, g.grade+" from the basic size", factor, 453.592_37/(500*g.width*g.height*0.000_645_16), 0.000_001)
		// The trade's constant 1406.5 is 0.026 % above 453.592 37/(500 × 0.000 645 16) = 1406.139.
		near(t, g.grade+" by 1406.5", factor, 1406.5/(g.width*g.height), factor*0.000_3)
		if g.factor != 0 {
			near(t, g.grade+" published", factor, g.factor, 0.005)
		}
		if g.back != 0 {
			near(t, g.grade+" published, back", 1/factor, g.back, 0.001)
		}
	}
}

// Source: worked pairs printed in the same tables (20 lb bond to 50 lb text); the rest computed from the
// exact constants.
func TestBasisWeightPairs(t *testing.T) {
	for _, c := range []struct {
		text      string
		want, off float64 // g/m²; the published ones are rounded
	}{
		{"20 lb bond", 75.2, 0.05},
		{"28 lb bond", 105.3, 0.05},
		{"90 lb offset", 133.2, 0.05},
		{"100 lb cover", 270.4, 0.05},
		{"50 lb cover", 135, 0.5},
		{"50 lb text", 74, 0.5},
		{"70 lb text", 103.6, 0.05},
		{"24 lb bond", 90.23, 0.005},
		{"32 lb bond", 120.31, 0.005},
		{"80 lb cover", 216.33, 0.005},
		{"110 lb index", 198.88, 0.005},
		{"67 lb bristol", 146.92, 0.005},
		{"60 lb text", 88.81, 0.005},
		{"80 lb text", 118.41, 0.005},
		{"100 lb text", 148.01, 0.0055},
		{"90 lb watercolour", 191.75, 0.005},
		{"140 lb watercolour", 298.27, 0.005},
		{"300 lb watercolour", 639.15, 0.005},
		{"50.0 lb bond", 188, 0.2},
		{"69.5 lb cover", 188, 0.2},
		{"82.5 lb bond", 310, 0.2},
		{"114.6 lb cover", 310, 0.2},
		{"209.4 lb text", 310, 0.2},
		{"93.1 lb bond", 350, 0.2},
	} {
		g, err := measure.ParseGrammage(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		near(t, c.text, float64(g)/float64(measure.GSM), c.want, c.off)
	}
}

// Source: ISO 536, grammage is mass over area; ISO 216, A4 is 210 × 297 mm, A2 420 × 594 mm. The masses
// are computed from these.
func TestSheetMass(t *testing.T) {
	const mm, in = measure.Millimetre, measure.Inch
	for _, c := range []struct {
		g             measure.Grammage
		width, height measure.Length
		grams         float64
	}{
		{80 * measure.GSM, 210 * mm, 297 * mm, 4.9896},
		{310 * measure.GSM, 420 * mm, 594 * mm, 77.3388},
		{188 * measure.GSM, 16 * in, 20 * in, 38.812826},
		{310 * measure.GSM, 24 * in, 36 * in, 172.799654},
		{1 * measure.GSM, measure.Metre, measure.Metre, 1},
	} {
		near(t, fmt.Sprint(c), float64(c.g.SheetMass(c.width, c.height))/float64(measure.Gram), c.grams, 0.000_01)
	}
	if m := measure.Grammage(1).SheetMass(1, 1); m != 1 {
		t.Errorf("a speck weighs %d ng, want 1: rounded up", m)
	}
	if m := measure.GSM.SheetMass(0, measure.Metre); m != 0 {
		t.Errorf("no area weighs %d ng", m)
	}
	if m := measure.Grammage(math.MaxInt64).SheetMass(math.MaxInt64, math.MaxInt64); m != math.MaxInt64 {
		t.Errorf("a sheet beyond all measure weighs %d ng, want the largest mass", m)
	}
}

// A sheet is never taken for lighter than it is, and by less than a nanogram heavier.
func TestSheetMassRoundsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.Int64Range(1, int64(measure.MaxGrammage)).Draw(t, "grammage")
		w := rapid.Int64Range(1, int64(measure.MaxLength)).Draw(t, "width")
		h := rapid.Int64Range(1, int64(measure.MaxLength)).Draw(t, "height")
		exact := new(big.Rat).SetInt64(g)
		exact.Mul(exact, new(big.Rat).SetInt64(w)).Mul(exact, big.NewRat(h, 1_000_000_000_000))
		got := new(big.Rat).SetInt64(int64(measure.Grammage(g).SheetMass(measure.Length(w), measure.Length(h))))
		if over := got.Sub(got, exact); over.Sign() < 0 || over.Cmp(big.NewRat(1, 1)) >= 0 {
			t.Fatalf("%d mg/m², %d × %d nm: off by %s ng", g, w, h, over.FloatString(3))
		}
	})
}

// The package comment promises how many accepted values can be added without a check.
func TestPromisedSumsFit(t *testing.T) {
	if measure.MaxMass > math.MaxInt64/9000 {
		t.Error("9000 of the largest masses do not fit")
	}
	if measure.MaxLength > math.MaxInt64/90_000_000 {
		t.Error("ninety million of the largest lengths do not fit")
	}
	if m := measure.MaxGrammage.SheetMass(measure.MaxLength, measure.MaxLength); m <= 0 || m == math.MaxInt64 {
		t.Errorf("the largest sheet weighs %d ng", m)
	}
}

func near(t *testing.T, what string, got, want, off float64) {
	t.Helper()
	if math.Abs(got-want) > off {
		t.Errorf("%s: got %.7g, want %.7g ± %.2g", what, got, want, off)
	}
}
