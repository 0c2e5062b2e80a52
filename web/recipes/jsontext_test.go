package recipes

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/house"
	"solander/measure"
	"solander/packing"
)

// What the file of wraps and rules says reads back to the same wraps and rules, and shows no nanometres.
func TestWrapsReadBackAsShown(t *testing.T) {
	d := house.Defaults(measure.Imperial)
	if len(d.Settings.Wraps) == 0 || len(d.Settings.Rules) == 0 {
		t.Fatal("the defaults have no wraps or rules: nothing was tested")
	}
	for _, u := range measure.Systems() {
		text := pretty(d.Settings.Wraps, u)
		var wraps []packing.Wrap
		if err := json.Unmarshal([]byte(text), &wraps); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(d.Settings.Wraps, wraps); diff != "" {
			t.Errorf("in %s (-want +got):\n%s", u, diff)
		}
		var rules []packing.Rule
		if err := json.Unmarshal([]byte(pretty(d.Settings.Rules, u)), &rules); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(d.Settings.Rules, rules); diff != "" {
			t.Errorf("in %s (-want +got):\n%s", u, diff)
		}
	}
	if text := pretty(d.Settings.Wraps, measure.Imperial); !strings.Contains(text, `"sides": "1/16 in"`) {
		t.Errorf("no length is told in inches: %.600s", text)
	}
}

// Every length and mass that a wrap or a rule can have is told as a text.
func TestEveryMeasureIsKnown(t *testing.T) {
	seen := 0
	var walk func(reflect.Type)
	walk = func(ty reflect.Type) {
		switch ty.Kind() {
		case reflect.Pointer, reflect.Slice:
			walk(ty.Elem())
		case reflect.Struct:
			for i := range ty.NumField() {
				f := ty.Field(i)
				name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
				of := f.Type
				if of.Kind() == reflect.Pointer {
					of = of.Elem()
				}
				if of == reflect.TypeFor[measure.Length]() || of == reflect.TypeFor[measure.Mass]() {
					seen++
					if !measured.MatchString(`"` + name + `": 1`) {
						t.Errorf("%s of %s is shown in base units", name, ty)
					}
					continue
				}
				walk(f.Type)
			}
		}
	}
	walk(reflect.TypeFor[packing.Wrap]())
	walk(reflect.TypeFor[packing.Rule]())
	if seen < 10 {
		t.Errorf("%d measures were looked at", seen)
	}
}
