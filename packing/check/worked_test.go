package check

import (
	"math/big"
	"testing"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
	"solander/packing/check/rates"
	"solander/tariff"
)

const (
	in = measure.Inch
	mm = measure.Millimetre
	lb = measure.Pound
)

// Source: docs/formats/physics.md, section 3: an 18 × 24 in sheet round 76.2 mm. And a published question
// of mathematics: a roll of 3 cm inner and 5 cm outer diameter holds π (25 − 9) / 0.04 = 1256.6 cm of tape
// 0.01 cm thick.
func TestRolledUp(t *testing.T) {
	if d := exact.RolledUp(18*in, mm/2, 3*in); d/1000 != 78_086 {
		t.Errorf("18 × 24 in round 3 in is %d nm, want 78.086… mm", d)
	}
	if d := exact.RolledUp(12_566*mm, mm/10, 30*mm); d < 49_999*measure.Micrometre || d > 50*mm {
		t.Errorf("the roll of tape is %d nm, want just below 5 cm", d)
	}
	for _, inner := range []measure.Length{0, 1, 40 * mm, 76_200_001} { // the smallest that holds, by the inequality itself
		const strip, thick = 457_200_000, 508_000
		d := exact.RolledUp(strip, thick, inner)
		need := exact.Product(4_000_000, strip, thick)
		holds := func(d measure.Length) bool {
			room := exact.Product(int64(d), int64(d))
			room.Sub(room, exact.Product(int64(inner), int64(inner)))
			return need.Cmp(room.Mul(room, big.NewInt(3_141_592))) <= 0
		}
		if !holds(d) || holds(d-1) {
			t.Errorf("round %d nm: %d nm is not the smallest", inner, d)
		}
	}
}

// Source: docs/formats/tariff.md, section 6, after the Domestic Mail Manual of the US Postal Service, 503
// (nearest inch, 166 in³ a pound, above one cubic foot; 0.785 for cylinders).
func TestDimensional(t *testing.T) {
	dim := func(divisor int64) *tariff.Dimensional {
		return &tariff.Dimensional{
			Over: 1728 * tariff.CubicInch, Divisor: tariff.Ratio{Volume: tariff.Volume(divisor) * tariff.CubicInch, Mass: lb},
			Round: tariff.Rounding{Step: in, Mode: tariff.Nearest}, Step: lb, Cylinder: tariff.Fraction{Num: 785, Den: 1000},
		}
	}
	box := func(a, b, c measure.Length) *Packed {
		return &Packed{form: tariff.Box, size: sorted([3]measure.Length{a, b, c})}
	}
	tube := box(30*in, 6*in, 6*in)
	tube.form = tariff.Cylinder
	for _, c := range []struct {
		name    string
		parcel  *Packed
		divisor int64
		want    measure.Mass
	}{
		{"24 × 18 × 6 in", box(24*in, 18*in, 6*in), 166, 16 * lb},
		{"24 × 18 × 6 in by 139", box(24*in, 18*in, 6*in), 139, 19 * lb},
		{"half an inch goes up", box(23*in+in/2, 18*in, 6*in), 166, 16 * lb},
		{"less than half goes down", box(24*in+in/2-1, 18*in, 6*in), 166, 16 * lb},
		{"a cubic foot", box(12*in, 12*in, 12*in), 166, 0},
		{"a tube", tube, 166, 0},
	} {
		if got := dimensional(dim(c.divisor), c.parcel); got != c.want {
			t.Errorf("%s: %d ng, want %d", c.name, got, c.want)
		}
	}
}

// Source: docs/formats/tariff.md, section 2.
func TestGirth(t *testing.T) {
	box := Packed{form: tariff.Box, size: tariff.Size{Length: 5, Width: 3, Height: 2}}
	tube := Packed{form: tariff.Cylinder, size: tariff.Size{Length: 30 * in, Width: 1_000_000, Height: 1_000_000}}
	uneven := Packed{form: tariff.Cylinder, size: tariff.Size{Length: 1_000_000, Width: 1_000_000, Height: 7}}
	for got, want := range map[measure.Length]measure.Length{box.girth(): 10, tube.girth(): 3_141_593, uneven.girth(): 2_000_014} {
		if got != want {
			t.Errorf("girth %d, want %d", got, want)
		}
	}
}

// Source: docs/formats/tariff.md, section 7.
func TestCover(t *testing.T) {
	steps := []tariff.CoverStep{{UpTo: 7000, Price: 120}, {UpTo: 10_000, Price: 200}}
	for _, c := range []struct {
		name  string
		cover *tariff.Cover
		value int64
		price int64
		ok    bool
	}{
		{"none sold", nil, 1, 0, false},
		{"included", &tariff.Cover{Included: 5000, Steps: steps}, 5000, 0, true},
		{"not deducted", &tariff.Cover{Included: 5000, Steps: steps}, 7001, 200, true},
		{"beyond the steps", &tariff.Cover{Steps: steps}, 10_001, 0, false},
		{"a part begun", &tariff.Cover{Steps: steps, Per: 1000, PerPrice: 35}, 11_001, 270, true},
		{"most", &tariff.Cover{Steps: steps, Per: 1000, PerPrice: 35, Most: new(int64(11_000))}, 11_001, 0, false},
		{"no step, all by part", &tariff.Cover{Per: 1000, PerPrice: 35}, 1, 35, true},
		{"most beyond the steps", &tariff.Cover{Steps: steps, Most: new(int64(14_000))}, 10_001, 0, false},
	} {
		price, _, ok := rates.Cover(c.cover, c.value)
		if price != c.price || ok != c.ok {
			t.Errorf("%s: %d, %v; want %d, %v", c.name, price, ok, c.price, c.ok)
		}
	}
}

// Monday 3 November 2025; the 11th, Veterans Day, is a federal holiday (5 U.S.C. 6103).
func TestArrival(t *testing.T) {
	holidays := []calendar.Day{calendar.Date(2025, 11, 11)}
	for _, c := range []struct {
		counted tariff.Counting
		most    int
		day     int
	}{
		{tariff.CalendarDays, 0, 3},
		{tariff.CalendarDays, 8, 11},
		{tariff.DeliveryDays, 5, 8},
		{tariff.DeliveryDays, 6, 10},
		{tariff.DeliveryDays, 7, 12},
		{tariff.WeekDays, 4, 7},
		{tariff.WeekDays, 5, 10},
		{tariff.WeekDays, 6, 12},
	} {
		got := exact.Arrival(&tariff.Days{Max: c.most, Counted: c.counted}, calendar.Date(2025, 11, 3), holidays)
		if want := calendar.Date(2025, 11, c.day); got != want {
			t.Errorf("%d days %s: %s, want %s", c.most, c.counted, got, want)
		}
	}
}

// The mass of 11 × 14 in at 310 g/m² is whole: docs/formats/plan.md, section 8. One nanometre more is
// rounded up.
func TestMassOf(t *testing.T) {
	s := packing.Sheet{Width: 11 * in, Height: 14 * in, Grammage: 310_000}
	if got := exact.MassOf(&s); got != 30_799_938_400 {
		t.Errorf("%d ng", got)
	}
	s.Width++ // 0.3556 m · 1 nm · 310 g/m² = 110.236 ng
	if got := exact.MassOf(&s); got != 30_799_938_511 {
		t.Errorf("%d ng with a nanometre more", got)
	}
}
