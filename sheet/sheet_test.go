package sheet

import (
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
)

const mm = measure.Millimetre

// Source: ISO 216: each size is the one before it cut in half across, rounded down to whole millimetres.
func TestISOSizesAreHalves(t *testing.T) {
	last := map[string]Named{}
	checked := 0
	for _, s := range Sizes() {
		if s.Source != iso {
			continue
		}
		series := s.Name[:1]
		if big, ok := last[series]; ok {
			if half := big.Height / 2 / mm * mm; s.Width != half || s.Height != big.Width {
				t.Errorf("%s is %v × %v, half of %s is %v × %v", s.Name, s.Width, s.Height, big.Name, half, big.Width)
			}
			checked++
		}
		last[series] = s
	}
	if checked != 12 {
		t.Fatalf("%d sizes were compared, not 12", checked)
	}
}

func TestSizesAreSoundAndNamedOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Sizes() {
		if seen[s.Name] || s.Source == "" || s.Width <= 0 || s.Width > s.Height || strings.TrimSpace(s.Name) == "" {
			t.Errorf("%+v", s)
		}
		seen[s.Name] = true
	}
}

func TestStackAddsUp(t *testing.T) {
	k := Stack{}.Add(Sheet{Width: 300 * mm, Height: 200 * mm, Thickness: mm, Mass: 5}, 2).
		Add(Sheet{Width: 250 * mm, Height: 260 * mm, Thickness: 2 * mm, Mass: 7}, 1)
	want := Stack{Long: 300 * mm, Short: 250 * mm, Thickness: 4 * mm, Mass: 17, Sheets: 3}
	if k != want {
		t.Errorf("got %+v, want %+v", k, want)
	}
	if k.Add(Sheet{Width: 900 * mm, Height: 900 * mm}, 0) != k {
		t.Error("no sheet more changed the stack")
	}
}

// Source: the published question of a roll of tape, inner diameter 3 cm, outer 5 cm, tape 0.01 cm thick:
// L = π (25 − 9) / (4 · 0.01) = 1256.6 cm. Read as radii the same numbers give 5026.5 cm.
func TestRollOfTape(t *testing.T) {
	cm := measure.Centimetre
	thick := cm / 100
	if !Fits(1256*cm, thick, 3*cm, 5*cm) || Fits(1257*cm, thick, 3*cm, 5*cm) {
		t.Error("a roll from 3 to 5 cm diameter does not hold 12.566 m of 0.1 mm tape")
	}
}

// Source: D = sqrt(D0² + 4 h L / π) for prints on a core of 101.6 mm, caliper 0.5 mm, to 0.01 mm.
func TestPrintsOnACore(t *testing.T) {
	for _, c := range []struct{ strip, want measure.Length }{
		{610 * mm, 103_490_000}, {1016 * mm, 104_740_000}, {1524 * mm, 106_270_000},
	} {
		got := RollDiameter(c.strip, mm/2, 101_600_000)
		if d := got - c.want; d > 10_000 || d < -10_000 {
			t.Errorf("strip %v: diameter %d nm, want %d ± 10 000", c.strip, got, c.want)
		}
	}
}

// The diameter is the smallest that fits, by an independent computation with big numbers.
func TestRollDiameterIsTheSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		strip := measure.Length(rapid.Int64Range(0, int64(100*measure.Metre)).Draw(t, "strip"))
		thick := measure.Length(rapid.Int64Range(0, int64(measure.Metre)).Draw(t, "thick"))
		inner := measure.Length(rapid.Int64Range(0, int64(measure.Metre)).Draw(t, "inner"))
		d := RollDiameter(strip, thick, inner)
		if !bigFits(strip, thick, inner, d) {
			t.Fatalf("%d does not fit", d)
		}
		if d > inner && bigFits(strip, thick, inner, d-1) {
			t.Fatalf("%d fits already", d-1)
		}
		if d2 := RollDiameter(strip+1, thick, inner); d2 < d {
			t.Fatalf("a longer strip makes a thinner roll: %d < %d", d2, d)
		}
	})
}

func bigFits(strip, thick, inner, outer measure.Length) bool {
	n := func(l measure.Length) *big.Int { return big.NewInt(int64(l)) }
	need := new(big.Int).Mul(n(strip), n(thick))
	need.Mul(need, big.NewInt(4_000_000))
	have := new(big.Int).Sub(new(big.Int).Mul(n(outer), n(outer)), new(big.Int).Mul(n(inner), n(inner)))
	return need.Cmp(have.Mul(have, big.NewInt(3_141_592))) <= 0
}

func TestWindLaysTheLongSideAlongAShortEnoughAxis(t *testing.T) {
	s := Sheet{Width: 600 * mm, Height: 400 * mm, Thickness: mm / 2, Mass: 9}
	for _, c := range []struct {
		axis        measure.Length
		along, wind measure.Length
		ok          bool
	}{
		{600 * mm, 600 * mm, 400 * mm, true},
		{600*mm - 1, 400 * mm, 600 * mm, true},
		{400 * mm, 400 * mm, 600 * mm, true},
		{400*mm - 1, 0, 0, false},
	} {
		w, ok := Wound{}.Wind(s, 2, c.axis)
		if ok != c.ok || ok && (w != Wound{Axis: c.along, Strip: c.wind, Thickness: mm, Mass: 18, Sheets: 2}) {
			t.Errorf("axis %v: %+v %v", c.axis, w, ok)
		}
	}
}

// Source: docs/formats/physics.md, section 3: 18 × 24 in, caliper 0.5 mm, round 76.2 mm: 78.0865 mm.
func TestRollWorkedInTheDocument(t *testing.T) {
	d := RollDiameter(18*measure.Inch, mm/2, 3*measure.Inch)
	if d < 78_086_500 || d >= 78_086_600 {
		t.Errorf("%d nm", d)
	}
}
