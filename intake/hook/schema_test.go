package hook

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

const formats = "../../docs/formats"

// The schema of the documents takes and refuses the mappings that the program does, where a schema can tell.
func TestSchemaAgrees(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile(filepath.Join(formats, "hook.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(filepath.Join(formats, "hook.md"))
	if err != nil {
		t.Fatal(err)
	}
	shown := regexp.MustCompile("(?s)```json mapping\n(.*?)```").FindSubmatch(page)
	if shown == nil {
		t.Fatal("the page shows no mapping")
	}
	valid := func(text string) bool {
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		return err == nil && schema.Validate(doc) == nil
	}
	for _, text := range []string{string(shown[1]), tillMapping} {
		if _, err := ReadMapping([]byte(text)); err != nil || !valid(text) {
			t.Errorf("refused by the schema or by %v: %s", err, text)
		}
	}
	for _, c := range [][2]string{
		{`"solander-hook/1"`, `"solander-hook/2"`},
		{`"format"`, `"formt"`},
		{`"ref": "T-{/sale/no}", `, ``},
		{`"ref": "T-{/sale/no}"`, `"ref": ""`},
		{`"ref": "T-{/sale/no}"`, `"ref": 7`},
		{`"ref":`, `"reff": "x", "ref":`},
		{`"lines": "/sale/items"`, `"lines": "items"`},
		{`"lines": "/sale/items"`, `"lines": "/a~2"`},
		{`"edition": "/code"`, `"code": "/code"`},
		{`"LT": 2`, `"LT": 0`},
		{`"LT": 2`, `"LT": "2"`},
		{`["sold"]`, `[]`},
		{`"/event":`, `"event":`},
		{`"lines":`, `"money": "float", "lines":`},
		{`"lines":`, `"days": "y/m/d", "lines":`},
	} {
		text := strings.Replace(tillMapping, c[0], c[1], 1)
		if text == tillMapping {
			t.Fatalf("the mapping has no %s", c[0])
		}
		if _, err := ReadMapping([]byte(text)); err == nil || valid(text) {
			t.Errorf("%s: the schema says %v, the program %v", c[1], valid(text), err)
		}
	}
}

func TestPageNamesEveryField(t *testing.T) {
	page, err := os.ReadFile(filepath.Join(formats, "hook.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range slices.Concat(orderFields, lineFields) {
		if !strings.Contains(string(page), "`"+name+"`") {
			t.Errorf("the page does not name the field %s", name)
		}
	}
}
