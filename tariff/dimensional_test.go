package tariff

import (
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
)

// In 128 bits the dimensional mass is what numbers of any length make of it, and ordinary parcels need no more.
func TestDimensionalMassInFewBits(t *testing.T) {
	short, long := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		some := func(name string, most int64) int64 {
			return rapid.OneOf(rapid.Int64Range(1, 40), rapid.Int64Range(1, most)).Draw(t, name)
		}
		unit := rapid.SampledFrom([]Volume{1, CubicInch, CubicCentimetre}).Draw(t, "unit")
		mass := rapid.SampledFrom([]measure.Mass{1, measure.Pound, measure.Gram}).Draw(t, "mass")
		d := Dimensional{
			Over:    Volume(some("over", 3000)) * unit,
			Divisor: Ratio{Volume: Volume(some("divisor", 6000)) * unit, Mass: measure.Mass(some("weighs", 2000)) * mass},
			Step:    measure.Mass(some("step", 2000)) * mass,
		}
		num, den := lowest(uint64(some("num", 1_000_000)), uint64(some("den", 1_000_000)))
		side := func(name string) measure.Length {
			return measure.Length(some(name, 60))*rapid.SampledFrom([]measure.Length{1, measure.Millimetre, measure.Inch}).Draw(t, name+" in") + measure.Length(some(name+" and", 1e6))
		}
		v := product(side("length"), side("width"), side("height"))
		want := d.long(v, num, den)
		got, ok := d.short(v, num, den)
		if !ok {
			long++
			return
		}
		if short++; got != want {
			t.Fatalf("%+v of %v · %d/%d: %d, in any number of bits %d", d, v, num, den, got, want)
		}
	})
	if short == 0 || long == 0 {
		t.Errorf("%d in few bits, %d in many: one of both was not tested", short, long)
	}
	d := ground().Services[0].Dimensional
	if _, ok := d.short(product(60*in, 24*in, 23*in), 157, 200); !ok {
		t.Error("a large tube needs more bits")
	}
}
