package packing_test

import (
	"encoding/json"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"solander/fault"
	"solander/internal/schematest"
	"solander/packing"
)

// damages are what is written into a field of a problem, wherever it stands.
var damages = map[string]string{
	"null": `null`, "zero": `0`, "negative": `-1`, "huge": `4611686018427387904`, "fraction": `1.5`, "true": `true`,
	"an empty text": `""`, "a text": `"?"`, "a long text": `"` + strings.Repeat("x", 81) + `"`, "spaces": `" x "`,
	"an empty list": `[]`, "null in a list": `[null]`, "an empty text in a list": `[""]`, "an empty object": `{}`, "an unknown field": `{"colour": 1}`,
	"no length": `"0 mm"`, "no mass": `"0 g"`, "half a character": `"\ud800"`, "a step of 0": `{"step": 0, "mode": ""}`,
}

// further are rules that no schema of fields says: between fields, about units and days that are none, and about ids that
// are there.
var further = regexp.MustCompile(strings.Join([]string{
	`belongs? to`, `does not go with`, `is not below the full size`, `is less than the inner size`, `names no shortest side`, `exactly one must be given`,
	`is missing or no possible length`, `is not on the shelf`, `is of another kind`, `there is no wrap`, `does not stand here`, `does not end in`, `has no tube`, `has no carton round`, `does not say round which`,
	`demands nothing`, `is less than fewest`, `is more than one`, `is not the problem's`, `is before the day`, `goes elsewhere`,
	`lies before the first day`, `names a table`, `names no zone`, `has no number`, `does not ascend`, `is missing or does not belong`, `prices for \d+ zones`,
	`has several rows`, `go together`, `is not a fraction`, `stands without per`, `is not a number of days`, `has another length`, `comes before`,
	`has spaces, hyphens`, `half of a character`, `is not a (possible )?(length|mass|volume|grammage|day|currency)`, `holds \d+ copies`, `step is too small`,
}, "|"))

// Every field that the schema names is damaged in every way. What the schema refuses the program refuses; what the
// program refuses beyond that breaks a rule that no schema of fields says.
func TestDamagedProblems(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := &surgery{
		schema: schematest.Compile(t, formats+"problem.schema.json"),
		defs:   schematest.Document(t, formats+"problem.schema.json").(map[string]any)["$defs"].(map[string]any),
		known:  map[string]bool{},
	}
	for _, text := range wholeProblems(t) {
		root := schematest.Parse(t, text)
		s.walk(t, func() string { out, _ := json.Marshal(root); return string(out) }, map[string]any{"$ref": "#/$defs/Problem"}, root, "", "")
	}
	for name, def := range s.defs {
		for field := range def.(map[string]any)["properties"].(map[string]any) {
			if !s.known[name+"."+field] {
				t.Errorf("no problem here has the field %s of %s", field, name)
			}
		}
	}
	if s.refused < 1500 || s.passed < 300 {
		t.Errorf("too few of a kind")
	}
	t.Logf("%d fields; %d damaged problems are refused, %d of them by a rule beyond the schema, %d pass", len(s.known), s.refused, s.beyond, s.passed)
}

// surgery damages one field at a time.
type surgery struct {
	schema                  *jsonschema.Schema
	defs                    map[string]any
	known                   map[string]bool // fields damaged, by type and name
	refused, passed, beyond int
}

// walk goes through a value beside its schema and damages each field that it has not met yet; of names the type
// that is described.
func (s *surgery) walk(t *testing.T, text func() string, schema map[string]any, v any, path, of string) {
	t.Helper()
	if ways, ok := schema["anyOf"].([]any); ok {
		schema = ways[0].(map[string]any)
	}
	if ref, ok := schema["$ref"].(string); ok {
		of = strings.TrimPrefix(ref, "#/$defs/")
		schema = s.defs[of].(map[string]any)
	}
	switch v := v.(type) {
	case []any:
		items, _ := schema["items"].(map[string]any)
		for i := range v {
			s.walk(t, text, items, v[i], path+"["+strconv.Itoa(i)+"]", of)
		}
	case map[string]any:
		properties, _ := schema["properties"].(map[string]any)
		for _, field := range slices.Sorted(maps.Keys(v)) {
			at, was := strings.TrimPrefix(path+"."+field, "."), v[field]
			if !s.known[of+"."+field] {
				s.known[of+"."+field] = true
				for name, with := range damages {
					v[field] = json.RawMessage(with)
					s.judge(t, at+": "+name, text())
				}
				delete(v, field)
				s.judge(t, at+": dropped", text())
				v[field] = was
				s.bounds(t, at, properties[field].(map[string]any), func(n any) { v[field] = n; s.judge(t, at+": "+string(n.(json.RawMessage)), text()) })
				v[field] = was
			}
			s.walk(t, text, properties[field].(map[string]any), was, at, of)
		}
	}
}

// bounds writes the least and the greatest number that the schema names, and those beyond.
func (s *surgery) bounds(t *testing.T, at string, schema map[string]any, write func(any)) {
	t.Helper()
	if ways, ok := schema["oneOf"].([]any); ok {
		schema = ways[0].(map[string]any)
	}
	for name, beyond := range map[string]int64{"minimum": -1, "maximum": 1} {
		if n, ok := schema[name].(json.Number); ok {
			edge, err := n.Int64()
			if err != nil {
				t.Fatalf("%s: %v", at, err)
			}
			write(json.RawMessage(strconv.FormatInt(edge, 10)))
			write(json.RawMessage(strconv.FormatInt(edge+beyond, 10)))
		}
	}
}

func (s *surgery) judge(t *testing.T, what, text string) {
	t.Helper()
	obeys := s.schema.Validate(schematest.Parse(t, text))
	_, err := packing.ReadProblem(strings.NewReader(text))
	switch {
	case err == nil && obeys != nil:
		t.Errorf("%s: the program passes what the schema refuses: %v", what, obeys)
	case err == nil:
		s.passed++
	case obeys == nil && !further.MatchString(fault.All(err)[0].What):
		t.Errorf("%s: the schema passes what the program refuses: %v", what, fault.All(err)[0])
	case obeys == nil:
		s.beyond++
		fallthrough
	default:
		s.refused++
	}
}

// wholeProblems are problems that have every field between them, small ones.
func wholeProblems(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("testdata/whole/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no problems to damage: %v", err)
	}
	var out []string
	for _, f := range files {
		text, _ := json.Marshal(schematest.Document(t, f))
		out = append(out, string(text))
	}
	return out
}
