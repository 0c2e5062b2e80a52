package intake_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/intake"
	"solander/internal/intaketest"
)

func TestMappingsAreReadBack(t *testing.T) {
	m := intaketest.MappingOf(2, intaketest.HerColumns)
	b, err := m.JSON()
	if err != nil {
		t.Fatal(err)
	}
	got, err := intake.ReadMapping(b)
	if err != nil || cmp.Diff(m, got) != "" {
		t.Errorf("%v %s", err, cmp.Diff(m, got))
	}
}

func TestUnsoundMappings(t *testing.T) {
	good, err := intaketest.MappingOf(2, intaketest.HerColumns).JSON()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ from, to, field string }{
		{`"format": "solander-mapping/1"`, `"format": "solander-mapping/2"`, "format"},
		{`"name": "her workbook"`, `"name": ""`, "name"},
		{`"currency": "USD"`, `"currency": "XXZ"`, "currency"},
		{`"country": "US"`, `"country": "UK"`, "country"},
		{`"days": "md"`, `"days": "ymd"`, "days"},
		{`"decimal": "."`, `"decimal": "'"`, "decimal"},
		{`"unit": "in"`, `"unit": "ft"`, "unit"},
		{`"several": "each"`, `"several": "some"`, "several"},
		{`"field": "buyer"`, `"field": "seller"`, "sheets[0].columns[1].field"},
		{`"field": "buyer"`, `"field": "title"`, ""},
		{`"field": "buyer"`, `"field": "size"`, "sheets[0].columns[3].field"},
		{`"column": 1,`, `"column": 0,`, "sheets[0].columns[1].column"},
		{`"column": 1,`, `"column": -1,`, "sheets[0].columns[1].column"},
		{`"header": 2`, `"header": -2`, "sheets[0].header"},
		{`"header": 2`, `"header": 2, "first": 2`, "sheets[0].first"},
		{`"fill": "#C6EFCE"`, `"fill": "green"`, "fills[0].fill"},
		{`"fill": "#C6EFCE"`, `"fill": "#FFC7CE"`, "fills[1].fill"},
		{`"means": "sent"`, `"means": "gone"`, "fills[0].means"},
		{`"text": "posted"`, `"text": " "`, "words[0].text"},
		{`"text": "posted"`, `"text": "WAITS"`, "words[1].text"},
		{`"words"`, `"word"`, "word"},
		{`}`, `} x`, "-"},
	} {
		if !strings.Contains(string(good), tt.from) {
			t.Fatalf("%s is not in the mapping", tt.from)
		}
		_, err := intake.ReadMapping([]byte(strings.Replace(string(good), tt.from, tt.to, 1)))
		if tt.field == "" {
			if err != nil {
				t.Errorf("%s: %v", tt.to, err)
			}
			continue
		}
		if !fault.Is(err, fault.Invalid) || tt.field != "-" && !slices.ContainsFunc(fault.All(err), func(f *fault.Error) bool { return f.Field == tt.field }) {
			t.Errorf("%s: %v, want a fault of %s", tt.to, err, tt.field)
		}
	}
	if _, err := intake.ReadMapping(make([]byte, 1<<20+1)); !fault.Is(err, fault.TooLarge) {
		t.Errorf("too large: %v", err)
	}
}

func FuzzMapping(f *testing.F) {
	files, err := filepath.Glob("../docs/formats/examples/mapping*.json")
	if err != nil || len(files) == 0 {
		f.Fatalf("no example: %v", err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Add([]byte(`{"format":"solander-mapping/1","name":"x","currency":"USD","sheets":[{"sheet":""}],"fills":[{"fill":"#000000","means":"sent"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := intake.ReadMapping(data)
		if err != nil {
			if fault.CodeOf(err) == fault.Internal {
				t.Fatal(err)
			}
			return
		}
		b, err := m.JSON()
		if err != nil {
			t.Fatal(err)
		}
		again, err := intake.ReadMapping(b)
		if err != nil || cmp.Diff(m, again) != "" {
			t.Fatalf("%v %s", err, cmp.Diff(m, again))
		}
	})
}
