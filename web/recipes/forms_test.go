package recipes

import (
	"net/url"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/house"
	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/web/form"
)

// typedIn is what a browser sends of a form as it is shown.
func typedIn(fm *form.Form) url.Values {
	typed := url.Values{}
	for _, fd := range fm.Fields() {
		if fd.Kind != "check" || fd.Checked() {
			typed.Set(fd.Name, fd.Value)
		}
	}
	return typed
}

func shelf() []studio.ShelfItem { return house.Defaults(measure.Imperial).Shelf }

// known is a studio whose words include some that need care in the names of fields.
func known(u measure.System) Known {
	return Known{
		Units: u, Currency: "USD", Grades: []string{"fine", "a.b[0]", "=x"}, Classes: []string{"ground", "priority"},
		Wraps: []packing.Wrap{{ID: "carton", Name: "boxed"}, {ID: "tube / long"}},
	}
}

var lengths = rapid.Map(rapid.IntRange(0, 40), func(n int) measure.Length { return measure.Length(n) * measure.Inch / 16 })

func of[T any](t *rapid.T, name string, g *rapid.Generator[T]) *T {
	if rapid.IntRange(0, 2).Draw(t, name+"?") > 0 {
		return nil
	}
	v := g.Draw(t, name)
	return &v
}

func someOf(t *rapid.T, name string, words []string) []string {
	if rapid.IntRange(0, 2).Draw(t, name+"?") > 0 {
		return nil
	}
	out := rapid.SliceOfNDistinct(rapid.SampledFrom(words), 1, len(words), rapid.ID[string]).Draw(t, name)
	slices.Sort(out)
	return out
}

func aWrap(t *rapid.T) packing.Wrap {
	w := packing.Wrap{
		ID: "carton", Name: "boxed", Note: rapid.SampledFrom([]string{"", "a note"}).Draw(t, "note"), Shape: rapid.SampledFrom([]packing.Shape{packing.Flat, packing.Rolled}).Draw(t, "shape"),
		Fewest: rapid.IntRange(0, 3).Draw(t, "fewest"), Most: rapid.IntRange(0, 9).Draw(t, "most"), Minutes: rapid.IntRange(0, 9).Draw(t, "minutes"), MinutesPerSheet: rapid.IntRange(0, 9).Draw(t, "each"),
	}
	if w.Shape == packing.Rolled {
		w.Core = lengths.Draw(t, "core")
	} else {
		w.Beside, w.Between = rapid.IntRange(0, 8).Draw(t, "beside"), lengths.Draw(t, "between")
	}
	for range rapid.IntRange(1, 8).Draw(t, "layers") {
		kind := rapid.SampledFrom(packing.Kinds()).Draw(t, "kind")
		l := packing.Layer{Kind: kind, Per: rapid.SampledFrom([]packing.Per{"", packing.PerSheet, packing.PerGap}).Draw(t, "per"), Count: rapid.IntRange(0, 3).Draw(t, "count")}
		if kind != packing.Tissue && kind != packing.Board {
			l.Count = 0
		}
		if len(perChoices(kind, w.Shape)) == 1 {
			l.Per = ""
		}
		l.Clearance = packing.Clearance{Sides: lengths.Draw(t, "sides"), Thickness: lengths.Draw(t, "thickness"), Ends: lengths.Draw(t, "ends"), Across: lengths.Draw(t, "across")}
		if kind == packing.Tube {
			l.Clearance.Sides, l.Clearance.Thickness = 0, 0
		} else {
			l.Clearance.Ends, l.Clearance.Across = 0, 0
		}
		switch kind {
		case packing.Tissue:
			l.Clearance = packing.Clearance{}
		case packing.Board:
			l.Clearance.Thickness = 0
		case packing.Carton:
			l.Empty = of(t, "empty", lengths)
		}
		var ids []string
		for _, it := range shelf() {
			if it.Spec.Kind == kind {
				ids = append(ids, it.Spec.ID)
			}
		}
		l.Items = someOf(t, "items", append(ids, "gone.from[the] shelf"))
		w.Layers = append(w.Layers, l)
	}
	return w
}

// A wrap comes out of its editor as it went in, to the nanometre.
func TestWrapsComeBackAsTheyWereShown(t *testing.T) {
	items := shelf()
	rapid.Check(t, func(t *rapid.T) {
		for _, u := range measure.Systems() {
			w := aWrap(t)
			shown := w
			shown.Layers = slices.Clone(w.Layers)
			fm, rows := wrapForm(&shown, items, u)
			if len(rows) != len(w.Layers) {
				t.Fatalf("%d rows of %d layers", len(rows), len(w.Layers))
			}
			got, err := readWrap(typedIn(fm), items, u)
			if err != nil {
				t.Fatalf("%+v: %v", w, err)
			}
			for i := range got.Layers {
				slices.Sort(got.Layers[i].Items)
			}
			if diff := cmp.Diff(w, got); diff != "" {
				t.Fatalf("(-want +got):\n%s", diff)
			}
		}
	})
}

func aRule(t *rapid.T, k Known) packing.Rule {
	n, amount := rapid.IntRange(0, 9), rapid.Int64Range(0, 99999)
	masses := rapid.Map(rapid.IntRange(0, 99), func(n int) measure.Mass { return measure.Mass(n) * measure.Ounce })
	shape := rapid.SampledFrom([]packing.Shape{"", packing.Flat, packing.Rolled})
	wraps := []string{"carton", "tube / long", "gone"}
	return packing.Rule{
		ID: "x", Text: "in her words",
		When: packing.When{
			Grades: someOf(t, "grades", k.Grades), SheetsFrom: of(t, "from", n), SheetsTo: of(t, "to", n), OrderSheetsFrom: of(t, "order from", n), OrderSheetsTo: of(t, "order to", n),
			ValueOver: of(t, "value", amount), OrderValueOver: of(t, "order value", amount), LongestOver: of(t, "longest over", lengths), LongestTo: of(t, "longest to", lengths),
			MassOver: of(t, "mass over", masses), MassTo: of(t, "mass to", masses), Abroad: of(t, "abroad", rapid.Bool()), Countries: someOf(t, "countries", []string{"CA", "MX", "DE", "XK"}), Shape: shape.Draw(t, "lies"),
		},
		Then: packing.Then{
			OnlyClasses: someOf(t, "only", append([]string{"pigeon"}, k.Classes...)), NotClasses: someOf(t, "not", k.Classes), OnlyWraps: someOf(t, "only wraps", wraps), NotWraps: someOf(t, "not wraps", wraps),
			Shape: shape.Draw(t, "shape"), SheetsMost: of(t, "most", n), Together: rapid.Bool().Draw(t, "together"), Tracking: true, Signature: rapid.Bool().Draw(t, "signature"), FullCover: rapid.Bool().Draw(t, "cover"),
		},
	}
}

// A rule comes out of its editor as it went in, whatever its conditions and demands.
func TestRulesComeBackAsTheyWereShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, u := range measure.Systems() {
			k := known(u)
			set := studio.Settings{Units: u, Currency: "USD", Wraps: k.Wraps}
			r := aRule(t, k)
			shown := r
			fm, when, then := ruleForm(&shown, RowsOf(r), k, set)
			if len(when) != len(set.RuleWords().When(r.When)) || len(then) != len(set.RuleWords().Then(r.Then)) {
				t.Fatalf("%d and %d rows of %s", len(when), len(then), set.RuleWords().Sentence(r))
			}
			typed := typedIn(fm)
			typed.Set("was", "x")
			got, err := readRule(typed, k, set)
			if err != nil {
				t.Fatalf("%s: %v", set.RuleWords().Sentence(r), err)
			}
			for _, list := range []*[]string{&got.When.Grades, &got.When.Countries, &got.Then.OnlyClasses, &got.Then.NotClasses, &got.Then.OnlyWraps, &got.Then.NotWraps} {
				slices.Sort(*list)
			}
			if diff := cmp.Diff(r, got); diff != "" {
				t.Fatalf("(-want +got):\n%s", diff)
			}
		}
	})
}

// Every member of a rule's conditions and demands has its phrase.
func TestEveryConditionHasAPhrase(t *testing.T) {
	for list, c := range map[string]struct {
		of      reflect.Type
		phrases []phrase
	}{"when": {reflect.TypeFor[packing.When](), whens}, "then": {reflect.TypeFor[packing.Then](), thens}} {
		said := 0
		for i := range c.of.NumField() {
			name, _, _ := strings.Cut(c.of.Field(i).Tag.Get("json"), ",")
			if name == "orders" { // a rule of the studio names none: it stands for what was chosen of one order
				continue
			}
			said++
			if !slices.ContainsFunc(c.phrases, func(p phrase) bool { return p.name == name }) {
				t.Errorf("no phrase says %s.%s", list, name)
			}
		}
		if said != len(c.phrases) || said < 5 {
			t.Errorf("%s has %d members and %d phrases", list, said, len(c.phrases))
		}
	}
}

// A rule without words of its own is called by its sentence, which changes with it; hers stay.
func TestWordsOfARule(t *testing.T) {
	k, set := known(measure.Imperial), studio.Settings{Units: measure.Imperial, Currency: "USD"}
	r := packing.Rule{ID: "x", Then: packing.Then{Tracking: true}}
	r.Text = set.RuleWords().Sentence(r)
	fm, _, _ := ruleForm(&r, RowsOf(r), k, set)
	typed := typedIn(fm)
	if typed.Get("text") != "" {
		t.Errorf("her words are said to be %q", typed.Get("text"))
	}
	typed.Set("then[1].what", "signature")
	if got, err := readRule(typed, k, set); err != nil || got.Text != "all prints: tracked and signed for" {
		t.Errorf("%q, %v", got.Text, err)
	}
	typed.Set("text", "never without a name")
	if got, err := readRule(typed, k, set); err != nil || got.Text != "never without a name" {
		t.Errorf("%q, %v", got.Text, err)
	}
}

func TestKeysOfNames(t *testing.T) {
	taken := map[string]bool{"two-boards": true, "two-boards-2": true}
	for name, want := range map[string]string{"Two boards!": "two-boards-3", "Größe": "gr-e", "  ": "own", "a b c d e f g h": "a-b-c-d-e-f", "../x": "x"} {
		if got := keyOf(name, func(key string) bool { return taken[key] }); got != want {
			t.Errorf("%q has the key %q, want %q", name, got, want)
		}
	}
}
