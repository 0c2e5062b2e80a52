// Package schematest keeps the JSON Schemas of docs/formats beside the Go types that they describe: it draws
// a schema from a type, compares it with the file, and says whether a document obeys it. For tests only.
package schematest

import (
	"bytes"
	"encoding/json"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Schema is one file of docs/formats.
type Schema struct {
	File   string // its path
	Title  string
	Format string // the value of the "format" field of the root; "" = it has none
	Of     reflect.Type
	// Written says that the program writes such documents: every field without omitempty is there, and
	// quantities are whole numbers.
	Written bool
	// Required lists the fields that objects which are read cannot do without, beside those known here.
	Required map[reflect.Type][]string
}

// Check compares the file with what the type says, and writes it anew when update is set. It returns the
// compiled schema.
func (s Schema) Check(t *testing.T, update bool) *jsonschema.Schema {
	t.Helper()
	got := s.draw(t)
	if update {
		if err := os.WriteFile(s.File, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(s.File)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s: %s", s.File, d)
	}
	return Compile(t, s.File)
}

func (s Schema) draw(t *testing.T) []byte {
	t.Helper()
	d := drawing{defs: object{}, strict: s.Written, required: s.Required}
	root := d.of(s.Of)
	if s.Format != "" {
		d.defs[s.Of.Name()].(object)["properties"].(object)["format"] = object{"const": s.Format}
	}
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = s.Title
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

// Compile reads a schema.
func Compile(t *testing.T, file string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	if err := c.AddResource(file, Document(t, file)); err != nil {
		t.Fatal(err)
	}
	return c.MustCompile(file)
}

// Document reads a JSON file in the form that a schema validates.
func Document(t *testing.T, file string) any {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return Parse(t, string(text))
}

// Parse reads JSON text in the form that a schema validates.
func Parse(t *testing.T, text string) any {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// Value writes a value as JSON and reads it in the form that a schema validates.
func Value(t *testing.T, v any) any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return Parse(t, string(text))
}
