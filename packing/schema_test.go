package packing_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

var update = flag.Bool("update", false, "write the schemas anew")

const formats = "../docs/formats/"

// object is a JSON object whose keys are printed in ascending order.
type object = map[string]any

func quantity(description, pattern string) object {
	return object{"description": description, "oneOf": []any{
		object{"type": "integer", "minimum": 0}, object{"type": "string", "pattern": pattern},
	}}
}

// leaves are the types that are written in a way of their own.
var leaves = map[reflect.Type]object{
	reflect.TypeFor[measure.Length]():   quantity("nanometres, or a text with a unit: 8 1/2 in, 216 mm, 12 pt", `[0-9½¼¾⅛⅜⅝⅞].*[a-zA-Zµμ"″”]\s*$`),
	reflect.TypeFor[measure.Mass]():     quantity("nanograms, or a text with a unit: 12 oz, 340 g", `[0-9½¼¾⅛⅜⅝⅞].*[a-zA-Z]\s*$`),
	reflect.TypeFor[measure.Grammage](): quantity("milligrams per square metre, or a text: 310 gsm, 80 lb cover", `[0-9]`),
	reflect.TypeFor[tariff.Volume]():    quantity("cubic micrometres, or a text: 1728 in3, 0.1 ft3, 30 dm3", `^\s*[0-9.]+\s+[a-zA-Z]+[3³]?\s*$`),
	reflect.TypeFor[calendar.Day]():     {"description": "a civil day", "type": []any{"string", "null"}, "pattern": `^([0-9]{4}-[0-9]{2}-[0-9]{2})?$`},
	reflect.TypeFor[tariff.Cell]():      {"description": "minor units; null = not carried", "type": []any{"integer", "null"}, "minimum": 0},
	reflect.TypeFor[tariff.Bound]():     bound(),
}

func bound() object {
	number := object{"description": "in the unit of the measure, or a text with a unit", "oneOf": []any{object{"type": "integer", "minimum": 0}, object{"type": "string"}}}
	var measures []any
	for _, m := range tariff.Measures() {
		measures = append(measures, m)
	}
	return object{
		"type": "object", "additionalProperties": false, "required": []any{"measure"}, "minProperties": 2,
		"properties": object{"form": object{"enum": []any{tariff.Box, tariff.Cylinder}}, "measure": object{"enum": measures}, "min": number, "over": number, "max": number, "under": number},
	}
}

// words are the types that hold one of a few words.
var words = map[reflect.Type][]any{
	reflect.TypeFor[packing.Kind]():    {packing.Sleeve, packing.Tissue, packing.Board, packing.Envelope, packing.Tube, packing.Carton},
	reflect.TypeFor[packing.Shape]():   {packing.Flat, packing.Rolled},
	reflect.TypeFor[packing.Per]():     {packing.PerStack, packing.PerSheet, packing.PerGap},
	reflect.TypeFor[packing.Status]():  {packing.Optimal, packing.NotProven, packing.Infeasible},
	reflect.TypeFor[tariff.Form]():     {tariff.Box, tariff.Cylinder},
	reflect.TypeFor[tariff.By]():       {tariff.ByMass, tariff.ByVolume, tariff.ByPiece},
	reflect.TypeFor[tariff.Mode]():     {tariff.Nearest, tariff.Up, tariff.Down},
	reflect.TypeFor[tariff.Counting](): {tariff.CalendarDays, tariff.DeliveryDays, tariff.WeekDays},
}

// required lists the fields that an object cannot do without; problem.md and tariff.md say which.
var required = map[reflect.Type][]string{
	reflect.TypeFor[packing.Problem]():  {"format", "currency", "day", "origin", "orders", "shelf", "wraps", "cards"},
	reflect.TypeFor[packing.Order]():    {"id", "destination", "sheets"},
	reflect.TypeFor[packing.Sheet]():    {"id", "width", "height", "caliper"},
	reflect.TypeFor[packing.Roll]():     {"tightest"},
	reflect.TypeFor[packing.Item]():     {"id", "kind"},
	reflect.TypeFor[packing.Cut]():      {"shortest", "step"},
	reflect.TypeFor[packing.Wrap]():     {"id", "shape", "layers"},
	reflect.TypeFor[packing.Layer]():    {"kind"},
	reflect.TypeFor[packing.Rule]():     {"id", "then"},
	reflect.TypeFor[tariff.Place]():     {"country"},
	reflect.TypeFor[tariff.Card]():      {"id", "series", "operator", "currency", "from", "price_class", "source", "status", "services"},
	reflect.TypeFor[tariff.ZoneTable](): {"name", "source", "status", "rows"},
	reflect.TypeFor[tariff.ZoneRow]():   {"zone"},
	reflect.TypeFor[tariff.Service]():   {"id", "class", "name", "prices"},
	reflect.TypeFor[tariff.Prices]():    {"by", "rows"},
	reflect.TypeFor[tariff.Row]():       {"prices"},
	reflect.TypeFor[tariff.Days]():      {"min", "max", "counted"},
	reflect.TypeFor[tariff.Surcharge](): {"id", "name", "amount"},
	reflect.TypeFor[tariff.CoverStep](): {"up_to", "price"},
	reflect.TypeFor[tariff.Ratio]():     {"volume", "mass"},
}

// drawing builds a schema from Go types, so that it cannot fall behind them.
type drawing struct {
	defs   object
	strict bool // every field without omitempty is required: for what the program writes
}

func (d *drawing) of(t reflect.Type) object {
	if leaf, ok := leaves[t]; ok {
		if d.strict && t != reflect.TypeFor[calendar.Day]() {
			return object{"type": "integer"}
		}
		return leaf
	}
	if list, ok := words[t]; ok {
		return object{"enum": list}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return d.of(t.Elem())
	case reflect.Slice:
		return object{"type": "array", "items": d.of(t.Elem())}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Struct:
		name := t.Name()
		if _, ok := d.defs[name]; !ok {
			d.defs[name] = nil // so that a type within itself ends
			d.defs[name] = d.structOf(t)
		}
		return object{"$ref": "#/$defs/" + name}
	}
	if d.strict {
		return object{"type": "integer"}
	}
	return object{"type": "integer", "minimum": 0}
}

func (d *drawing) structOf(t reflect.Type) object {
	properties, need := object{}, []any{}
	for i := range t.NumField() {
		name, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		properties[name] = d.of(t.Field(i).Type)
		if d.strict && options == "" {
			need = append(need, name)
		}
	}
	if !d.strict {
		for _, n := range required[t] {
			need = append(need, n)
		}
	}
	out := object{"type": "object", "additionalProperties": false, "properties": properties}
	if len(need) > 0 {
		out["required"] = need
	}
	return out
}

func draw(t *testing.T, title, format string, of reflect.Type, strict bool) []byte {
	t.Helper()
	d := drawing{defs: object{}, strict: strict}
	root := d.of(of)
	d.defs[of.Name()].(object)["properties"].(object)["format"] = object{"const": format}
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = title
	root["$defs"] = d.defs
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(root); err != nil {
		t.Fatal(err)
	}
	return text.Bytes()
}

// The schemas say what the types say, and the examples and their plans obey them.
func TestSchemas(t *testing.T) {
	for _, s := range []struct {
		file, title, format string
		of                  reflect.Type
		strict              bool
		examples            []string
	}{
		{"problem.schema.json", "A packing problem. Its meaning and further rules: problem.md", packing.ProblemFormat, reflect.TypeFor[packing.Problem](), false, []string{"one-print.json", "a-day.json"}},
		{"plan.schema.json", "A packing plan. Its meaning: plan.md", packing.PlanFormat, reflect.TypeFor[packing.Plan](), true, []string{"one-print.plan.json", "a-day.plan.json"}},
	} {
		got := draw(t, s.title, s.format, s.of, s.strict)
		if *update {
			if err := os.WriteFile(formats+s.file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(formats + s.file)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), string(got)); d != "" {
			t.Errorf("%s: %s", s.file, d)
		}
		schema := compile(t, s.file)
		for _, e := range s.examples {
			if err := schema.Validate(document(t, formats+"examples/"+e)); err != nil {
				t.Errorf("%s: %v", e, err)
			}
		}
	}
}

func compile(t *testing.T, file string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	if err := c.AddResource(file, document(t, formats+file)); err != nil {
		t.Fatal(err)
	}
	return c.MustCompile(file)
}

func document(t *testing.T, file string) any {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := jsonschema.UnmarshalJSON(f)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// What the schema refuses in a wrong example the reader refuses, too.
func TestSchemaAndReaderRefuseTheSame(t *testing.T) {
	schema := compile(t, "problem.schema.json")
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
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(bad))
		if err != nil {
			t.Fatal(err)
		}
		if schema.Validate(doc) == nil {
			t.Errorf("the schema passes %s", wrong)
		}
		if _, err := packing.ReadProblem(strings.NewReader(bad)); err == nil {
			t.Errorf("the reader passes %s", wrong)
		}
	}
}
