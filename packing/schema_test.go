package packing_test

import (
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"solander/internal/schematest"
	"solander/packing"
	"solander/tariff"
)

var update = flag.Bool("update", false, "write the schemas anew")

const formats = "../docs/formats/"

// The schemas say what the types say, and the examples and their plans obey them.
func TestSchemas(t *testing.T) {
	for _, s := range []struct {
		schematest.Schema
		examples []string
	}{
		{schematest.Schema{
			File: formats + "problem.schema.json", Title: "A packing problem. Its meaning and further rules: problem.md",
			Format: packing.ProblemFormat, Of: reflect.TypeFor[packing.Problem](),
		}, []string{"one-print.json", "a-day.json"}},
		{schematest.Schema{
			File: formats + "plan.schema.json", Title: "A packing plan. Its meaning: plan.md",
			Format: packing.PlanFormat, Of: reflect.TypeFor[packing.Plan](), Written: true,
		}, []string{"one-print.plan.json", "a-day.plan.json"}},
		{schematest.Schema{
			File: formats + "tariff.schema.json", Title: "A price card. Its meaning and further rules: tariff.md", Of: reflect.TypeFor[tariff.Card](),
		}, []string{"price-card.json"}},
	} {
		schema := s.Check(t, *update)
		for _, e := range s.examples {
			if err := schema.Validate(schematest.Document(t, formats+"examples/"+e)); err != nil {
				t.Errorf("%s: %v", e, err)
			}
		}
	}
}

// What the schema refuses in a wrong example the reader refuses, too.
func TestSchemaAndReaderRefuseTheSame(t *testing.T) {
	schema := schematest.Compile(t, formats+"problem.schema.json")
	text, err := os.ReadFile(formats + "examples/one-print.json")
	if err != nil {
		t.Fatal(err)
	}
	for old, wrong := range map[string]string{
		`"currency": "USD",
  "day"`: `"day"`,
		`"kind": "sleeve"`:                     `"kind": "bag"`,
		`"width": "11 in"`:                     `"width": 1.5`,
		`"shape": "flat"`:                      `"shape": "flat", "colour": "red"`,
		`"value": 9000`:                        `"value": "90"`,
		`"country": "US", "postcode": "97201"`: `"postcode": "97201"`,
		`"measure": "length"`:                  `"measure": "depth"`,
		`"counted": "no-sundays-holidays"`:     `"counted": "hourly"`,
	} {
		bad := strings.Replace(string(text), old, wrong, 1)
		if bad == string(text) {
			t.Errorf("the example lacks %s", old)
			continue
		}
		if schema.Validate(schematest.Parse(t, bad)) == nil {
			t.Errorf("the schema passes %s", wrong)
		}
		if _, err := packing.ReadProblem(strings.NewReader(bad)); err == nil {
			t.Errorf("the reader passes %s", wrong)
		}
	}
}
