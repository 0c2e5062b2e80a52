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
	Some []string       `json:"some" least:"1" each:"1"`
	Most *int           `json:"most,omitempty" least:"2"`
	Cost int            `json:"cost" need:"yes"`
}

type outer struct {
	Name  string  `json:"name"`
	Parts []inner `json:"parts"`
}

func TestDecode(t *testing.T) {
	var o outer
	if err := Decode([]byte(` {"name": "a", "parts": [{"side": "1 in", "many": [1, 2], "flag": false, "cost": 0}, {"flag": null, "many": null, "most": null, "cost": 0}]} `), &o); err != nil {
		t.Fatal(err)
	}
	if err := Decode([]byte(`{"name": "\ud83d\ude00 \\ud800"}`), &outer{}); err != nil {
		t.Errorf("a whole character, and a backslash: %v", err)
	}
	if o.Name != "a" || len(o.Parts) != 2 || o.Parts[0].Side != measure.Inch || o.Parts[0].Many[1] != 2 || o.Parts[0].Flag == nil || *o.Parts[0].Flag || o.Parts[1].Flag != nil {
		t.Errorf("%+v", o)
	}
}

func TestDecodeNamesThePath(t *testing.T) {
	for text, want := range map[string]string{
		`{"name": 5}`:                "name",
		`{"Name": "a"}`:              "Name",
		`{"name": "a", "name": "b"}`: "name",
		`{"parts": {}}`:              "parts",
		`{"parts": [5]}`:             "parts[0]",
		`{"parts": [{"cost": 0}, {"side": "1 lb"}]}`:    "parts[1].side",
		`{"parts": [{"many": [1, 2.5]}]}`:               "parts[0].many[1]",
		`{"parts": [{"many": [99999999999999999999]}]}`: "parts[0].many[0]",
		`{"parts": [{"flag": "yes"}]}`:                  "parts[0].flag",
		`{"parts": [{"cost": 0, "some": []}]}`:          "parts[0].some",
		`{"parts": [{"cost": 0, "some": ["a", ""]}]}`:   "parts[0].some[1]",
		`{"parts": [{"cost": 0, "some": [null]}]}`:      "parts[0].some[0]",
		`{"parts": [{"cost": 0, "most": 0}]}`:           "parts[0].most",
		`{"parts": [{"cost": null}]}`:                   "parts[0].cost",
		`{"parts": [null]}`:                             "parts[0]",
		`{"name": "\ud83d"}`:                            "",
		`{"name": "a\udc00\ud800"}`:                     "",
		`[]`:                                            "",
		` null `:                                        "",
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
