package intake_test

import (
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"solander/intake"
	"solander/internal/schematest"
)

var update = flag.Bool("update", false, "write the schema anew")

const formats = "../docs/formats/"

// The schema says what the types say; the examples obey it, and are read.
func TestSchema(t *testing.T) {
	schema := schematest.Schema{
		File: formats + "mapping.schema.json", Title: "How a file of sales is read. Its meaning and further rules: mapping.md",
		Format: intake.MappingFormat, Of: reflect.TypeFor[intake.Mapping](),
	}.Check(t, *update)
	files, err := filepath.Glob(formats + "examples/mapping-*.json")
	if err != nil || len(files) < 2 {
		t.Fatalf("%d examples found: %v", len(files), err)
	}
	for _, name := range files {
		if err := schema.Validate(schematest.Document(t, name)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		m, err := intake.ReadMapping(b)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := schema.Validate(schematest.Value(t, m)); err != nil {
			t.Errorf("%s, written again: %v", name, err)
		}
	}
}

// What the schema refuses in a wrong example the reader refuses, too.
func TestSchemaAndReaderRefuseTheSame(t *testing.T) {
	schema := schematest.Compile(t, formats+"mapping.schema.json")
	text, err := os.ReadFile(formats + "examples/mapping-workbook.json")
	if err != nil {
		t.Fatal(err)
	}
	for old, wrong := range map[string]string{
		`"solander-mapping/1"`: `"solander-mapping/2"`,
		`"currency": "USD",`:   ``,
		`"field": "buyer"`:     `"field": "seller"`,
		`"column": 1,`:         `"column": -1,`,
		`"fill": "#C6EFCE"`:    `"fill": "C6EFCE"`,
		`"means": "sent"`:      `"means": "gone"`,
		`"days": "dm"`:         `"days": "ymd"`,
		`"skip": true`:         `"skip": "yes"`,
		`"unit": "in"`:         `"unit": "in", "colour": "red"`,
	} {
		bad := strings.Replace(string(text), old, wrong, 1)
		if bad == string(text) {
			t.Errorf("the example lacks %s", old)
			continue
		}
		if schema.Validate(schematest.Parse(t, bad)) == nil {
			t.Errorf("the schema passes %s", wrong)
		}
		if _, err := intake.ReadMapping([]byte(bad)); err == nil {
			t.Errorf("the reader passes %s", wrong)
		}
	}
}
