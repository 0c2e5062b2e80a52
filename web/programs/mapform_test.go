package programs

import (
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/fault"
	"solander/intake/hook"
	"solander/measure"
)

// The page asks for every field that a mapping may name, and for no other.
func TestEveryFieldIsAskedFor(t *testing.T) {
	var order, line []string
	for _, g := range fieldWords {
		for _, x := range g.fields {
			order = append(order, x[0])
		}
	}
	for _, x := range lineWords {
		line = append(line, x[0])
	}
	m := hook.Mapping{Format: hook.Format, Order: hook.Sources{"?": ""}, Line: hook.Sources{"?": ""}}
	seen := 0
	for _, e := range fault.All(m.Validate()) {
		known, ok := strings.CutPrefix(e.Mend, "known here: ")
		if !ok {
			continue
		}
		seen++
		asked := order
		if strings.HasPrefix(e.Field, "line.") {
			asked = line
		}
		want := strings.Split(known, ", ")
		slices.Sort(want)
		slices.Sort(asked)
		if diff := cmp.Diff(want, asked); diff != "" {
			t.Errorf("%s (-known +asked):\n%s", e.Field, diff)
		}
	}
	if seen != 2 {
		t.Errorf("%d lists of fields were compared, want 2", seen)
	}
}

// A mapping comes out of its form as it went in, whatever its sources say.
func TestMappingsComeBackAsTheyWereShown(t *testing.T) {
	source := rapid.SampledFrom([]string{"/a", "/a/b~1c", "US", "T-{/no}", "{/first} {/last}", "{/last}, {/first}", "{{x}}", "{/a}{/b}", "To {/a} {/b}", "/"})
	rapid.Check(t, func(t *rapid.T) {
		m := hook.Mapping{
			Format: hook.Format, Order: hook.Sources{}, Line: hook.Sources{}, Lines: rapid.SampledFrom([]string{"", "/items", "/a/0"}).Draw(t, "lines"),
			Money: rapid.SampledFrom([]string{"", "decimal", "minor"}).Draw(t, "money"), Days: rapid.SampledFrom(append(hook.DayForms(), "")).Draw(t, "days"),
		}
		for _, g := range fieldWords {
			for _, x := range g.fields {
				if hook.Needed(x[0]) || rapid.Bool().Draw(t, x[0]) {
					m.Order[x[0]] = source.Draw(t, "source")
				}
			}
		}
		for _, x := range lineWords {
			m.Line[x[0]] = source.Draw(t, "source of a print")
		}
		if rapid.Bool().Draw(t, "only") {
			m.Only = hook.Choices{"/kind": {"sale", ""}, "/a b": {"x, y"}}
		}
		if rapid.Bool().Draw(t, "editions") {
			m.Editions = hook.Editions{"HD, large": 1, "[0].name": 7}
		}
		fm, _ := mapForm(storedMap(3, "Fair", m), nil, nil, measure.Imperial)
		typed := url.Values{}
		for _, fd := range fm.Fields() {
			typed.Set(fd.Name, fd.Value)
		}
		kept, got, err := readMap(3, typed, nil)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(m, got); diff != "" || kept.Name != "Fair" || kept.ID != 3 {
			t.Fatalf("%s (-want +got):\n%s", kept.Name, diff)
		}
		again, err := hook.ReadMapping(kept.Body)
		if err != nil || !cmp.Equal(m, again) {
			t.Fatalf("kept as %s: %v", kept.Body, err)
		}
	})
}
