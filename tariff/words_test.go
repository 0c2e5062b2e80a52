package tariff_test

import (
	"testing"

	"solander/measure"
	"solander/tariff"
)

// Source of the cubic step: 0.1 cubic foot, as the published price tables of cubic postage name it.
func TestVolumesAreToldAsTheyWereWritten(t *testing.T) {
	for in, want := range map[string]string{"0.1 ft3": "0.1 ft³", "0.50 ft³": "0.5 ft³", "1 ft3": "1728 in³", "3456 in3": "3456 in³", "30 dm3": "30000 cm³"} {
		v, err := tariff.ParseVolume(in)
		if err != nil || v.String() != want {
			t.Errorf("%s is told as %q, want %q (%v)", in, v, want, err)
		}
	}
}

// What there is and the limit stand in one system, and what is over the limit never reads as equal to it.
func TestAgainst(t *testing.T) {
	const in, mm = int64(measure.Inch), int64(measure.Millimetre)
	for _, c := range []struct {
		got, limit         int64
		unit               string
		wantGot, wantLimit string
	}{
		{85_340_000, 3 * in, "nm", "3.36 in", "3 in"},
		{108*in + 1, 108 * in, "nm", "108.001 in", "108 in"},
		{5*in - 1, 5 * in, "nm", "4.999 in", "5 in"},
		{12 * in, 300 * mm, "nm", "304.8 mm", "300 mm"},
		{int64(measure.Ounce) + 1, int64(measure.Ounce), "ng", "1.001 oz", "1 oz"},
		{int64(tariff.CubicFoot)/10 + 1000, int64(tariff.CubicFoot) / 10, "um3", "0.101 ft³", "0.1 ft³"},
		{3, 1, "sheets", "3 sheets", "1 sheet"},
	} {
		got, limit := tariff.Against(c.got, c.limit, c.unit)
		if got != c.wantGot || limit != c.wantLimit {
			t.Errorf("%d against %d %s reads %q and %q, want %q and %q", c.got, c.limit, c.unit, got, limit, c.wantGot, c.wantLimit)
		}
	}
}
