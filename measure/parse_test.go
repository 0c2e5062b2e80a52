package measure_test

import (
	"encoding/json"
	"strings"
	"testing"

	"solander/fault"
	"solander/measure"
)

func TestParseLength(t *testing.T) {
	const in, mm = measure.Inch, measure.Millimetre
	for text, want := range map[string]measure.Length{
		"8 1/2 in": 8*in + in/2, `8.5"`: 8*in + in/2, "8,5 in": 8*in + in/2, "8-1/2 in": 8*in + in/2,
		"8½ in": 8*in + in/2, "8½″": 8*in + in/2, "8.5inches": 8*in + in/2, "1/2 inch": in / 2, ".5 in": in / 2,
		"17/2 in": 8*in + in/2, "3⁄4 in": 3 * in / 4, "1/64 in": in / 64,
		"216 mm": 216 * mm, "21.6 cm": 216 * mm, "0.216 m": 216 * mm, "216MM": 216 * mm, "\u00a0216\u00a0mm ": 216 * mm,
		"2 ft 3 in": 27 * in, "2ft3in": 27 * in, `2' 3"`: 27 * in, "2 ft 3 1/2 in": 27*in + in/2,
		"12 pt": 12 * in / 1000, "12 mil": 12 * in / 1000, "500 µm": mm / 2, "500 μm": mm / 2, "500 um": mm / 2,
		"914400 nm": 914_400, "0 in": 0, "0,508 mm": 508_000, "0,125 in": in / 8,
		"1/3 in": 8_466_667, "2/3 in": 16_933_333, // rounded to the nearest nanometre
		"0.5 nm": 1, "0.4 nm": 0, // half away from zero
		"100 m": measure.MaxLength,
	} {
		got, err := measure.ParseLength(text, "")
		if err != nil || got != want {
			t.Errorf("%q is %d nm, %v; want %d", text, got, err, want)
		}
	}
}

func TestParseMass(t *testing.T) {
	const oz, g = measure.Ounce, measure.Gram
	for text, want := range map[string]measure.Mass{
		"12 oz": 12 * oz, "1 lb 4 oz": 20 * oz, "1lb4oz": 20 * oz, "1.25 lb": 20 * oz, "2 lbs": 32 * oz,
		"1/2 oz": 14_174_761_563, // 14 174 761 562.5 ng, half away from zero
		"340 g":  340 * g, "1.2 kg": 1200 * g, "1 kg 200 g": 1200 * g, "15 mg": 15 * measure.Milligram, "7 ng": 7,
		"15.999 oz": 453_564_020_477, // 453 564 020 476.875 ng
		"1000 kg":   measure.MaxMass,
	} {
		got, err := measure.ParseMass(text, "")
		if err != nil || got != want {
			t.Errorf("%q is %d ng, %v; want %d", text, got, err, want)
		}
	}
}

func TestParseGrammage(t *testing.T) {
	for text, want := range map[string]measure.Grammage{
		"310 gsm": 310_000, "310": 310_000, "310 g/m²": 310_000, "310 g/m2": 310_000, "310g/m2": 310_000, "310 G/M2": 310_000,
		"120.5 gsm": 120_500, "5 mg/m2": 5, "5 mg/m²": 5,
		"80 lb cover": 216_329, "80lb cover": 216_329, "80# cover": 216_329, "80 lbs Cover": 216_329, "80 # COVER": 216_329,
	} {
		got, err := measure.ParseGrammage(text)
		if err != nil || got != want {
			t.Errorf("%q is %d mg/m², %v; want %d", text, got, err, want)
		}
	}
}

func TestUnitIsAssumedOnlyWhenASystemIsNamed(t *testing.T) {
	for _, c := range []struct {
		system measure.System
		length measure.Length
		mass   measure.Mass
	}{
		{measure.Imperial, 5 * measure.Inch, 5 * measure.Ounce},
		{measure.Metric, 5 * measure.Millimetre, 5 * measure.Gram},
	} {
		if l, err := measure.ParseLength("5", c.system); err != nil || l != c.length {
			t.Errorf("%s: length 5 is %v, %v", c.system, l, err)
		}
		if m, err := measure.ParseMass("5", c.system); err != nil || m != c.mass {
			t.Errorf("%s: mass 5 is %v, %v", c.system, m, err)
		}
	}
	if _, err := measure.ParseLength("5", ""); !fault.Is(err, fault.Invalid) {
		t.Errorf("a length without unit and system gave %v", err)
	}
	if _, err := measure.ParseLength("2 ft 3", measure.Imperial); !fault.Is(err, fault.Invalid) {
		t.Errorf("a second number without unit gave %v", err)
	}
}

// refused lists texts that no parser takes, each with a part of the reason given.
var refused = map[string]string{
	"": "empty", "   ": "empty", "-3 in": "negative", "−3 oz": "negative", "in": "number is missing",
	"3 furlongs": "not a unit", "3 in 4": "missing", "3 in 2 ft": "smaller unit comes last", "3 in 4 in": "smaller unit comes last",
	"8..5 in": "not a number", "8.5.1 in": "not a number", "5. in": "not a number", "1/0 in": "not a number",
	"1/2/3 in": "not a number", "8 10 in": "not a number", "8 3/2 in": "not a number", "1.5 1/2 in": "not a number",
	"1,200 mm": "thousands or decimals", "12,500 oz": "thousands or decimals",
	"1e3 mm": "not a unit", "0x10 mm": "not a unit", "+3 in": "number is missing", "NaN in": "number is missing",
	"1e9999 m": "not a unit", "999999999999999999999 mm": "absurdly large", "100.0000001 m": "absurdly large",
	"3 \xff": "broken characters", "3 in\x00": "not a unit",
	strings.Repeat("9", 10_000_000): "too long",
}

func TestRefusedTextNamesTheReason(t *testing.T) {
	parsers := map[string]func(string) error{
		"length":   func(s string) error { _, err := measure.ParseLength(s, ""); return err },
		"mass":     func(s string) error { _, err := measure.ParseMass(s, ""); return err },
		"grammage": func(s string) error { _, err := measure.ParseGrammage(s); return err },
	}
	for text, why := range refused {
		for kind, parse := range parsers {
			err := parse(text)
			if !fault.Is(err, fault.Invalid) {
				t.Errorf("%s %.40q gave %v", kind, text, err)
				continue
			}
			if f := fault.All(err)[0]; f.Mend == "" || len(f.What) > 400 {
				t.Errorf("%s %.40q: fault without mend or too long: %+v", kind, text, f)
			}
			if kind == "length" && !strings.Contains(err.Error(), why) {
				t.Errorf("length %.40q gave %q, want a reason with %q", text, err, why)
			}
		}
	}
}

func TestGrammageRefusesUnknownPaperAndNegativeWeight(t *testing.T) {
	for text, why := range map[string]string{
		"80 lb velvet": "not a grade", "-80 lb cover": "negative", "999999999 lb cover": "absurdly large",
		"1,200 lb cover": "thousands or decimals", "20001 gsm": "absurdly large", "310 mm": "not a unit",
	} {
		_, err := measure.ParseGrammage(text)
		if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), why) {
			t.Errorf("%q gave %v, want a reason with %q", text, err, why)
		}
	}
	if _, err := measure.BasisWeight(nil, "cover"); !fault.Is(err, fault.Invalid) {
		t.Errorf("no weight at all gave %v", err)
	}
}

func TestJSON(t *testing.T) {
	type paper struct {
		Width    measure.Length   `json:"width"`
		Weight   measure.Mass     `json:"weight"`
		Grammage measure.Grammage `json:"grammage"`
	}
	want := paper{216 * measure.Millimetre, 12 * measure.Ounce, 310 * measure.GSM}
	var got paper
	for _, text := range []string{
		`{"width": "216 mm", "weight": "12 oz", "grammage": "310 gsm"}`,
		`{"width": 216000000, "weight": 340194277500, "grammage": 310000}`,
		`{"width": null, "weight": null, "grammage": null}`, // null leaves what is there
	} {
		if err := json.Unmarshal([]byte(text), &got); err != nil || got != want {
			t.Errorf("%s gave %+v, %v", text, got, err)
		}
	}
	b, err := json.Marshal(want)
	if err != nil || string(b) != `{"width":216000000,"weight":340194277500,"grammage":310000}` {
		t.Errorf("written as %s, %v", b, err)
	}
	for _, text := range []string{`-1`, `1.5`, `"5"`, `true`, `{}`, `[]`, `1e30`, `100000000001`, `"\ud800 in"`} {
		l := measure.Length(7)
		if err := json.Unmarshal([]byte(text), &l); !fault.Is(err, fault.Invalid) || l != 7 {
			t.Errorf("%s gave %v, %v", text, l, err)
		}
	}
}
