package strict

import (
	"strings"
	"testing"

	"solander/fault"
	"solander/measure"
)

type inner struct {
	Side measure.Length `json:"side"`
	Many []int          `json:"many"`
	Flag *bool          `json:"flag"`
}

type outer struct {
	Name  string  `json:"name"`
	Parts []inner `json:"parts"`
}

func TestDecode(t *testing.T) {
	var o outer
	if err := Decode([]byte(` {"name": "a", "parts": [{"side": "1 in", "many": [1, 2], "flag": false}, {"flag": null, "many": null}]} `), &o); err != nil {
		t.Fatal(err)
	}
	if o.Name != "a" || len(o.Parts) != 2 || o.Parts[0].Side != measure.Inch || o.Parts[0].Many[1] != 2 || o.Parts[0].Flag == nil || *o.Parts[0].Flag || o.Parts[1].Flag != nil {
		t.Errorf("%+v", o)
	}
}

func TestDecodeNamesThePath(t *testing.T) {
	for text, want := range map[string]string{
		`{"name": 5}`:                                   "name",
		`{"Name": "a"}`:                                 "Name",
		`{"name": "a", "name": "b"}`:                    "name",
		`{"parts": {}}`:                                 "parts",
		`{"parts": [5]}`:                                "parts[0]",
		`{"parts": [{}, {"side": "1 lb"}]}`:             "parts[1].side",
		`{"parts": [{"many": [1, 2.5]}]}`:               "parts[0].many[1]",
		`{"parts": [{"many": [99999999999999999999]}]}`: "parts[0].many[0]",
		`{"parts": [{"flag": "yes"}]}`:                  "parts[0].flag",
		`[]`:                                            "",
		`{} {}`:                                         "",
		`{`:                                             "",
		"{\"name\": \"\xff\"}":                          "",
	} {
		var o outer
		err := Decode([]byte(text), &o)
		if !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if f := fault.All(err)[0]; f.Field != want || f.Mend == "" && !strings.Contains(text, "lb") {
			t.Errorf("%s: field %q, want %q; mend %q", text, f.Field, want, f.Mend)
		}
	}
}
