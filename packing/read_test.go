package packing_test

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"solander/calendar"
	"solander/fault"
	"solander/packing"
)

func example(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(formats + "examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// A problem written out in base units and read again is the same problem.
func TestProblemSurvivesJSON(t *testing.T) {
	for _, name := range []string{"one-print.json", "a-day.json"} {
		want, err := packing.ReadProblem(strings.NewReader(example(t, name)))
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		got, err := packing.ReadProblem(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want, got, cmp.Comparer(func(a, b calendar.Day) bool { return a == b }), cmpopts.EquateEmpty()); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// Each wrong problem differs from the example in one place; the fault names that place by its JSON path.
func TestWrongProblemsNamePathAndMend(t *testing.T) {
	text := example(t, "a-day.json")
	for _, c := range []struct{ old, new, path, what string }{
		{`"solander-problem/1"`, `"solander-problem/9"`, "format", "format"},
		{`"currency": "USD",`, `"currency": "US Dollars",`, "currency", "currency code"},
		{`"day": "2025-11-06"`, `"day": "6 November"`, "day", "day"},
		{`"country": "US", "postcode": "24060"`, `"country": "usa", "postcode": "24060"`, "origin.country", "country"},
		{`"id": "S-202"`, `"id": "S-201"`, "orders[1].id", "used twice"},
		{`"id": "S-202"`, `"id": ""`, "orders[1].id", "missing"},
		{`"width": "18 in", "height": "24 in"`, `"width": "18", "height": "24 in"`, "orders[1].sheets[0].width", "unit is missing"},
		{`"width": "18 in", "height": "24 in"`, `"width": "-18 in", "height": "24 in"`, "orders[1].sheets[0].width", "negative"},
		{`"width": "18 in", "height": "24 in"`, `"width": "18 lb", "height": "24 in"`, "orders[1].sheets[0].width", "lb is not a unit"},
		{`"width": "18 in", "height": "24 in"`, `"width": "18000 in", "height": "24 in"`, "orders[1].sheets[0].width", "absurdly large"},
		{`"width": "18 in", "height": "24 in"`, `"width": 0, "height": "24 in"`, "orders[1].sheets[0].width", "no possible length"},
		{`"copies": 2`, `"copies": -2`, "orders[0].sheets[0].copies", "out of range"},
		{`"copies": 2`, `"copies": 1.5`, "orders[0].sheets[0].copies", "whole number"},
		{`"copies": 2`, `"copies": 1001`, "orders[0].sheets[0].copies", "out of range"},
		{`"value": 18000`, `"value": -1`, "orders[0].sheets[0].value", "possible amount"},
		{`"grammage": "230 gsm"`, `"grammage": "230 gsm", "mass": "5 g"`, "orders[3].sheets[0].grammage", "exactly one"},
		{`"grammage": "230 gsm", `, ``, "orders[3].sheets[0].grammage", "exactly one"},
		{`"stiff": true}]`, `"stiff": true, "roll": {"tightest": "3 in"}}]`, "orders[4].sheets[0].roll", "stiff"},
		{`"arrive_by": "2025-11-14"`, `"arrive_by": "2025-11-05"`, "orders[2].arrive_by", "before"},
		{`"id": "S-202",`, `"id": "S-202", "combine": " x",`, "orders[1].combine", "no id"},
		{`"id": "S-203",`, `"id": "S-203", "colour": 1,`, "orders[2].colour", "no field"},
		{`"id": "S-203",`, `"id": "S-203", "id": "S-203",`, "orders[2].id", "twice"},
		{`"sheets": [{"id": "panel"`, `"sheets": {"id": "panel"`, "", "not JSON"},
		{`"kind": "tissue", "width"`, `"kind": "paper", "width"`, "shelf[2].kind", "kind of packaging"},
		{`"kind": "tissue", "width"`, `"kind": "tissue", "length": 5, "width"`, "shelf[2].length", "does not belong"},
		{`"caliper": "0.04 mm", `, ``, "shelf[2].caliper", "missing"},
		{`"outer": {"length": "26 1/2 in"}`, `"outer": {"length": "25 in"}`, "shelf[7].outer.length", "less than the inner"},
		{`"shortest": "12 in"`, `"shortest": "26 in"`, "shelf[7].cut.shortest", "below the full size"},
		{`"step": "1/2 in"`, `"step": 1`, "shelf[7].cut.step", "too small"},
		{`"stock": 1}`, `"stock": -1}`, "shelf[7].stock", "possible number"},
		{`"issued_for": "fast"`, `"container": "big"`, "shelf[8].cut", "container"},
		{`"mass": "420 g", "cost": 240}`, `"mass": "420 g", "cost": 240, "cut_base": {"step": "1 in"}}`, "shelf[9].cut_base", "no shortest"},
		{`"mass": "420 g", "cost": 240}`, `"mass": "420 g", "cost": 240, "cut_base": {"step": "1 in", "shortest_length": "26 in"}}`, "shelf[9].cut_base.shortest_length", "below the full size"},
		{`"mass": "420 g", "cost": 240}`, `"mass": "420 g", "cost": 240, "cut_base": {"step": 0, "shortest_width": "2 in"}}`, "shelf[9].cut_base.step", "no possible length"},
		{`"mass": "420 g", "cost": 240}`, `"mass": "420 g", "cost": 240, "cut_base": {"step": "1/8 in", "shortest_width": "2 in", "shortest_length": "2 in"}}`, "shelf[9].cut_base.step", "too small"},
		{`"caliper": "0.04 mm", `, `"caliper": "0.04 mm", "cut_base": {"step": "1 in", "shortest_width": "2 in"}, `, "shelf[2].cut_base", "does not belong"},
		{`"shape": "flat",`, `"shape": "flat", "beside": 9,`, "wraps[0].beside", "number of sheets"},
		{`"shape": "flat",`, `"shape": "flat", "beside": 1,`, "wraps[0].beside", "number of sheets"},
		{`"shape": "rolled",`, `"shape": "rolled", "beside": 2,`, "wraps[2].beside", "flat wraps"},
		{`"shape": "flat",`, `"shape": "flat", "between": "1 mm",`, "wraps[0].between", "side by side"},
		{`"items": ["backing-9x11"]`, `"items": ["backing"]`, "wraps[0].layers[1].items[0]", "not on the shelf"},
		{`"items": ["backing-9x11"]`, `"items": ["film-8x10"]`, "wraps[0].layers[1].items[0]", "another kind"},
		{`{"kind": "tissue", "per": "gap"},`, `{"kind": "tissue", "per": "stack"}, {"kind": "tissue", "per": "gap"},`, "wraps[1].layers[1].kind", "does not stand here"},
		{`"empty": "1/4 in"}`, `"empty": "1/4 in"}, {"kind": "board"}`, "wraps[1].layers", "does not end"},
		{`"clearance": {"ends": "1/2 in", "across": "1/8 in"}`, `"clearance": {"sides": "1/2 in"}`, "wraps[2].layers[1].clearance", "tubes"},
		{`"then": {"signature": true}`, `"then": {}`, "rules[2].then", "demands nothing"},
		{`"only_wraps": ["boxed"]`, `"only_wraps": ["crate"]`, "rules[3].then.only_wraps", "crate"},
		{`"status": "invented",
      "note"`, `"status": "certain",
      "note"`, "cards[0].status", "status"},
		{`"prices": [480, 530, 690]`, `"prices": [480, 530]`, "cards[0].services[0].prices.rows[0].prices", "2 prices for 3 zones"},
		{`{"mass": "8 oz", "prices": [480`, `{"mass": "80 oz", "prices": [480`, "cards[0].services[0].prices.rows[1].mass", "ascend"},
		{`"measure": "length", "over": "22 in"`, `"measure": "depth", "over": "22 in"`, "cards[0].services[0].surcharges[0].when[0].measure", "not a measure"},
		{`"rejected_most": 4`, `"rejected_most": 4000`, "options.rejected_most", "out of range"},
	} {
		bad := strings.Replace(text, c.old, c.new, 1)
		if bad == text {
			t.Errorf("the example lacks %s", c.old)
			continue
		}
		_, err := packing.ReadProblem(strings.NewReader(bad))
		if !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: got %v, want an invalid problem", c.new, err)
			continue
		}
		found := false
		for _, f := range fault.All(err) {
			found = found || f.Field == c.path && strings.Contains(f.Error(), c.what) && f.Mend != ""
		}
		if !found {
			t.Errorf("%s: no fault at %s says %q with a mend: %v", c.new, c.path, c.what, err)
		}
	}
}

func TestGarbage(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		code fault.Code
	}{
		"empty":            {"", fault.Invalid},
		"null":             {"null", fault.Invalid},
		"a list":           {"[]", fault.Invalid},
		"broken UTF-8":     {"{\"format\": \"\xff\"}", fault.Invalid},
		"two values":       {example(t, "one-print.json") + "{}", fault.Invalid},
		"10 MB of letters": {strings.Repeat("x", packing.MaxBytes), fault.Invalid},
		"more than 10 MB":  {strings.Repeat(" ", packing.MaxBytes+1), fault.TooLarge},
		"deep nesting":     {strings.Repeat("[", 100_000), fault.Invalid},
		"deep objects":     {`{"orders":` + strings.Repeat(`[`, 5000) + strings.Repeat(`]`, 5000) + `}`, fault.Invalid},
	} {
		if _, err := packing.ReadProblem(strings.NewReader(c.text)); !fault.Is(err, c.code) {
			t.Errorf("%s: %v, want %s", name, err, c.code)
		}
	}
}

// The faults of one problem are told together, at most 50.
func TestFaultsAreToldTogether(t *testing.T) {
	text := strings.NewReplacer(`"currency": "USD",
  "day"`, `"currency": "X",
  "day"`, `"kind": "flat"`, "", `"copies": 2`, `"copies": -2`).Replace(example(t, "a-day.json"))
	_, err := packing.ReadProblem(strings.NewReader(text))
	if n := len(fault.All(err)); n < 2 || n > 50 {
		t.Errorf("%d faults: %v", n, err)
	}
	many := `{"orders": [` + strings.Repeat(`{"x": 1},`, 500) + `{}]}`
	if _, err := packing.ReadProblem(strings.NewReader(many)); len(fault.All(err)) != 50 {
		t.Errorf("%d faults, want 50", len(fault.All(err)))
	}
}

// Whatever is read, the reader answers with a problem that passes its own check, or with a fault.
func FuzzReadProblem(f *testing.F) {
	f.Add(example(f, "one-print.json"))
	f.Add(example(f, "a-day.json"))
	f.Add(`{"format": "solander-problem/1", "orders": [{}], "shelf": [null], "cards": [{"services": [{"limits": [{"measure": "mass"}]}]}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		p, err := packing.ReadProblem(strings.NewReader(text))
		if err == nil {
			err = p.Check()
		}
		if fault.Is(err, fault.Internal) {
			t.Errorf("not a fault: %v", err)
		}
	})
}
