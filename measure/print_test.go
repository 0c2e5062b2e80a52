package measure_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
)

var systems = rapid.SampledFrom(measure.Systems())

// A printed length, mass, caliper or grammage reads back as the same value, in both systems.
func TestPrintThenParseGivesTheSame(t *testing.T) {
	lengths := rapid.OneOf(
		rapid.Int64Range(0, int64(measure.MaxLength)),
		rapid.Map(rapid.Int64Range(0, 250_000), func(n int64) int64 { return n * int64(measure.Inch) / 64 }),
		rapid.Map(rapid.Int64Range(0, 10_000_000), func(n int64) int64 { return n * int64(measure.Micrometre) }),
	)
	masses := rapid.OneOf(
		rapid.Int64Range(0, int64(measure.MaxMass)),
		rapid.Int64Range(0, 20*int64(measure.Pound)),
		rapid.Map(rapid.Int64Range(0, 35_000), func(n int64) int64 { return n * int64(measure.Ounce) }),
	)
	rapid.Check(t, func(t *rapid.T) {
		system := systems.Draw(t, "system")
		l := measure.Length(lengths.Draw(t, "length"))
		for _, text := range []string{l.In(system), l.String(), l.Caliper(system)} {
			if got, err := measure.ParseLength(text, ""); err != nil || got != l {
				t.Fatalf("%d nm in %s prints %q and reads %d, %v", l, system, text, got, err)
			}
		}
		m := measure.Mass(masses.Draw(t, "mass"))
		for _, text := range []string{m.In(system), m.String()} {
			if got, err := measure.ParseMass(text, ""); err != nil || got != m {
				t.Fatalf("%d ng in %s prints %q and reads %d, %v", m, system, text, got, err)
			}
		}
		g := measure.Grammage(rapid.Int64Range(0, int64(measure.MaxGrammage)).Draw(t, "grammage"))
		if got, err := measure.ParseGrammage(g.String()); err != nil || got != g {
			t.Fatalf("%d mg/m² prints %q and reads %d, %v", g, g, got, err)
		}
	})
}

// What was typed the way the studio writes comes back letter for letter, in either system.
func TestTypedValuesComeBackAsTyped(t *testing.T) {
	for _, text := range []string{
		"8 1/2 in", "11 in", "1/64 in", "12 63/64 in", "0.012 in", "8.05 in", "0.3333333 in", "8.00123 in", "0 in",
	} {
		comesBack(t, text, measure.Imperial)
	}
	for _, text := range []string{"216 mm", "0.305 mm", "1189 mm", "21.59 mm", "3.175 mm", "0.000001 mm", "0 mm"} {
		comesBack(t, text, measure.Metric)
	}
	for _, text := range []string{"216 mm", "297 mm", "0.305 mm", "841.5 mm"} {
		comesBack(t, text, measure.Imperial) // typed in the other system: it keeps that one
	}
	for _, text := range []string{"8 1/16 in", "17 5/32 in", "0.012 in"} {
		comesBack(t, text, measure.Metric)
	}
	for _, text := range []string{"12 oz", "0.35 oz", "15.999 oz", "1 lb 4 oz", "3 lb", "70 lb", "2 lb 0.5 oz"} {
		comesBack(t, text, measure.Imperial)
		comesBack(t, text, measure.Metric)
	}
	for _, text := range []string{"340 g", "4.99 g", "0.015 g", "9999.999 g", "12.5 kg"} {
		comesBack(t, text, measure.Imperial)
		comesBack(t, text, measure.Metric)
	}
	for _, text := range []string{"310 gsm", "120.5 gsm", "0.001 gsm"} {
		g, err := measure.ParseGrammage(text)
		if err != nil || g.String() != text {
			t.Errorf("%q comes back as %q, %v", text, g, err)
		}
	}
}

func comesBack(t *testing.T, text string, system measure.System) {
	t.Helper()
	var got string
	var err error
	if strings.HasSuffix(text, "in") || strings.HasSuffix(text, "mm") {
		var l measure.Length
		l, err = measure.ParseLength(text, "")
		got = l.In(system)
	} else {
		var m measure.Mass
		m, err = measure.ParseMass(text, "")
		got = m.In(system)
	}
	if err != nil || got != text {
		t.Errorf("%q comes back as %q in %s, %v", text, got, system, err)
	}
}

// Every length that is tidy in the studio's system is printed in it.
func TestTidyLengthsKeepTheirSystem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sixtyFourths := measure.Length(rapid.Int64Range(0, 250_000).Draw(t, "64ths")) * (measure.Inch / 64)
		mils := measure.Length(rapid.Int64Range(0, 3_000_000).Draw(t, "mils")) * measure.Mil
		for _, l := range []measure.Length{sixtyFourths, mils} {
			if !strings.HasSuffix(l.In(measure.Imperial), " in") {
				t.Fatalf("%d nm prints %q", l, l.In(measure.Imperial))
			}
		}
		micrometres := measure.Length(rapid.Int64Range(0, 100_000_000).Draw(t, "µm")) * measure.Micrometre
		if !strings.HasSuffix(micrometres.In(measure.Metric), " mm") {
			t.Fatalf("%d nm prints %q", micrometres, micrometres.In(measure.Metric))
		}
	})
}

func TestNegativeValuesPrintTheirSign(t *testing.T) {
	for want, got := range map[string]string{
		"-8 1/2 in": (-measure.Inch * 17 / 2).String(),
		"-1/2 in":   (-measure.Inch / 2).String(),
		"-3 mm":     (-3 * measure.Millimetre).In(measure.Metric),
		"-12 oz":    (-12 * measure.Ounce).String(),
		"-3 g":      (-3 * measure.Gram).In(measure.Metric),
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestAbout(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{(216 * measure.Millimetre).About(measure.Imperial), "8 1/2 in"},
		{(8*measure.Inch + measure.Inch/2).About(measure.Metric), "215.9 mm"},
		{(measure.Inch / 32).About(measure.Imperial), "1/16 in"}, // half away from zero
		{measure.Length(1).About(measure.Metric), "0 mm"},
		{measure.Length(-1).About(measure.Metric), "0 mm"},
		{(340 * measure.Gram).About(measure.Imperial), "12 oz"},
		{(1000 * measure.Gram).About(measure.Imperial), "2 lb 3.3 oz"},
		{(12 * measure.Ounce).About(measure.Metric), "340 g"},
		{(5 * measure.Pound).About(measure.Metric), "2.27 kg"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// Whatever text parses prints as one that parses to the same.
func FuzzParseLength(f *testing.F) {
	seeds(f, "8 1/2 in", `2' 3½"`, "216 mm", "12 pt", "1/3 in", "1,200 mm")
	f.Fuzz(func(t *testing.T, text string) {
		for _, system := range append(measure.Systems(), "") {
			l, err := measure.ParseLength(text, system)
			if err != nil {
				continue
			}
			for _, to := range measure.Systems() {
				if back, err := measure.ParseLength(l.In(to), ""); err != nil || back != l {
					t.Errorf("%q is %d nm, prints %q, reads %d, %v", text, l, l.In(to), back, err)
				}
			}
		}
	})
}

func FuzzParseMass(f *testing.F) {
	seeds(f, "12 oz", "1 lb 4 oz", "340 g", "1.2 kg", "15.999 oz")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := measure.ParseMass(text, measure.Imperial)
		if err != nil {
			return
		}
		for _, to := range measure.Systems() {
			if back, err := measure.ParseMass(m.In(to), ""); err != nil || back != m {
				t.Errorf("%q is %d ng, prints %q, reads %d, %v", text, m, m.In(to), back, err)
			}
		}
	})
}

func FuzzParseGrammage(f *testing.F) {
	seeds(f, "310 gsm", "80 lb cover", "80# text", "310 g/m2", "5 mg/m²")
	f.Fuzz(func(t *testing.T, text string) {
		g, err := measure.ParseGrammage(text)
		if err != nil {
			return
		}
		if back, err := measure.ParseGrammage(g.String()); err != nil || back != g {
			t.Errorf("%q is %d mg/m², prints %q, reads %d, %v", text, g, g, back, err)
		}
	})
}

func seeds(f *testing.F, texts ...string) {
	for _, text := range texts {
		f.Add(text)
	}
}
