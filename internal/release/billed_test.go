package main

import (
	"bytes"
	"debug/buildinfo"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// billed holds a bill of materials against the schema that its makers publish, and compares it with what the Go tool reads out of the
// program, part by part.
func (sys target) billed(t *testing.T, dir, program string) {
	whole := read(t, dir, "bill-of-materials.cdx.json")
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(whole))
	if err != nil {
		t.Fatal(err)
	}
	schema := billSchema(t)
	if err := schema.Validate(value); err != nil {
		t.Errorf("the bill of materials is none: %v", err)
	}
	value.(map[string]any)["components"] = "none" // or the schema would take anything
	if schema.Validate(value) == nil {
		t.Error("the schema takes a bill without a list of parts")
	}
	var bill struct {
		Format     string `json:"bomFormat"`
		Spec       string `json:"specVersion"`
		Components []struct{ Name, Version, PURL string }
	}
	if err := json.Unmarshal(whole, &bill); err != nil {
		t.Fatal(err)
	}
	info, err := buildinfo.ReadFile(program)
	if err != nil {
		t.Fatal(err)
	}
	if bill.Format != "CycloneDX" || bill.Spec != "1.6" || len(info.Deps) == 0 {
		t.Errorf("the bill is %s %s, the program has %d parts", bill.Format, bill.Spec, len(info.Deps))
	}
	held := read(t, dir, ofModules)
	for _, m := range info.Deps {
		if !slices.ContainsFunc(bill.Components, func(c struct{ Name, Version, PURL string }) bool { return c.Name == m.Path && c.Version == m.Version }) {
			t.Errorf("the bill lacks %s %s", m.Path, m.Version)
		}
		if !strings.Contains(string(held), "\n"+m.Path+", ") {
			t.Errorf("the licence of %s is not there", m.Path)
		}
	}
}

// billSchema is the schema of a bill. Source: OWASP Foundation, CycloneDX 1.6 (ECMA-424), as it lies in the module of its makers.
func billSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	folder, err := output(exec.Command("go", "list", "-m", "-modfile=tools/go.mod", "-f", "{{.Dir}}", "github.com/CycloneDX/cyclonedx-go"))
	if err != nil {
		t.Fatal(err)
	}
	const base = "http://cyclonedx.org/schema/"
	c := jsonschema.NewCompiler()
	for name, path := range map[string]string{
		"bom-1.6.schema.json": "bom-1.6.schema.json", "spdx.schema.json": "spdx.schema.json", "jsf-0.82.schema.json": "jsf-0.82.schemax.json",
	} {
		f, err := os.Open(filepath.Join(strings.TrimSpace(string(folder)), "schema", path))
		if err != nil {
			t.Fatal(err)
		}
		doc, err := jsonschema.UnmarshalJSON(f)
		if err != nil {
			t.Fatal(err)
		}
		f.Close()
		if err := c.AddResource(base+name, doc); err != nil {
			t.Fatal(err)
		}
	}
	s, err := c.Compile(base + "bom-1.6.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}
