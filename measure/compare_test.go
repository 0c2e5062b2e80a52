package measure_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
)

func TestOneSystemInASentence(t *testing.T) {
	const mm = measure.Millimetre
	mil := measure.Mil
	for _, c := range []struct{ got, want string }{
		// The inch is 25.4 mm exactly (international yard and pound agreement, 1959): 77.587 mm = 3.05460… in.
		{(77_587 * measure.Micrometre).Above(measure.Imperial), "3.055 in"},
		{(77_587 * measure.Micrometre).Below(measure.Imperial), "3.054 in"},
		{(77_587 * measure.Micrometre).Above(measure.Metric), "77.587 mm"},
		{(measure.Inch / 4).Above(measure.Imperial), "1/4 in"},
		{(measure.Inch/64 + 1).Above(measure.Metric), "0.4 mm"},
		{(210 * mm).Above(measure.Imperial), "8.268 in"},
		{(3*measure.Inch + 1).Above(measure.Imperial), "3.001 in"},
		{(3*measure.Inch + 1).Below(measure.Imperial), "3 in"},
		{(3 * mil).Below(measure.Imperial), "0.003 in"},
		// 1 oz = 28.349 523 125 g: 465.3 g = 16.41297… oz.
		{(465*measure.Gram + 300*measure.Milligram).Above(measure.Imperial), "1 lb 0.413 oz"},
		{(465*measure.Gram + 300*measure.Milligram).Below(measure.Imperial), "1 lb 0.412 oz"},
		{(16 * measure.Ounce).Above(measure.Imperial), "1 lb"},
		{(16 * measure.Ounce).Above(measure.Metric), "453.6 g"},
		{(31500 * measure.Gram).Below(measure.Metric), "31.5 kg"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if s := measure.SystemOf(0, 210*mm, measure.Inch/4); s != measure.Imperial {
		t.Errorf("a quarter inch beside 210 mm is told in %s", s)
	}
	if s := measure.SystemOf(0, 210*mm); s != measure.Metric {
		t.Errorf("210 mm is told in %s", s)
	}
}

// What is rounded away from a limit still lies beyond it, and by less than a step.
func TestRoundedToTheSafeSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := measure.Length(rapid.Int64Range(0, int64(10*measure.Inch*12)).Draw(t, "l"))
		m := measure.Mass(rapid.Int64Range(0, int64(70*measure.Pound)).Draw(t, "m"))
		for _, s := range measure.Systems() {
			up, errUp := measure.ParseLength(l.Above(s), "")
			down, errDown := measure.ParseLength(l.Below(s), "")
			if errUp != nil || errDown != nil || up < l || down > l || up-down > measure.Mil {
				t.Fatalf("%d nm lies between %q and %q (%v, %v)", l, l.Below(s), l.Above(s), errUp, errDown)
			}
			if metric := strings.HasSuffix(l.Above(s), "mm"); metric != (s == measure.Metric) {
				t.Fatalf("%d nm in %s is %q", l, s, l.Above(s))
			}
			high, errHigh := measure.ParseMass(m.Above(s), "")
			low, errLow := measure.ParseMass(m.Below(s), "")
			if errHigh != nil || errLow != nil || high+1 < m || low > m+1 || high-low > measure.Ounce/1000+1 {
				t.Fatalf("%d ng lies between %q and %q (%v, %v)", m, m.Below(s), m.Above(s), errHigh, errLow)
			}
		}
	})
}
