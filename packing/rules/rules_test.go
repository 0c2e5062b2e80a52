package rules_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/measure"
	"solander/packing"
	"solander/packing/rules"
)

func of[T any](v T) *T { return &v }

var wraps = []packing.Wrap{{ID: "mailer", Name: "flat in a mailer", Shape: packing.Flat}, {ID: "box", Shape: packing.Flat}, {ID: "tube", Name: "in a tube", Shape: packing.Rolled}}

var (
	words  = rules.Words{Units: measure.Imperial, Currency: "USD", Wraps: wraps}
	studio = rules.Studio{Wraps: wraps, Home: "US"}
)

func TestSentences(t *testing.T) {
	for want, r := range map[string]packing.Rule{
		"prints worth more than 120.00 USD in one parcel, going abroad: signed for": {
			When: packing.When{ValueOver: of(int64(12000)), Abroad: of(true)}, Then: packing.Then{Signature: true},
		},
		"all prints: tracked": {Then: packing.Then{Tracking: true}},
		"prints of the grade fine or proof, up to 19 in long, staying in the country: flat and only by priority": {
			When: packing.When{Grades: []string{"fine", "proof"}, LongestTo: of(19 * measure.Inch), Abroad: of(false)},
			Then: packing.Then{Shape: packing.Flat, OnlyClasses: []string{"priority"}},
		},
		"prints of an order of 2 or more: not wrapped “flat in a mailer” or “box” and the whole order together": {
			When: packing.When{OrderSheetsFrom: of(2)}, Then: packing.Then{NotWraps: []string{"mailer", "box"}, Together: true},
		},
		"prints heavier than 10 lb when packed, going to CA or MX: at most 3 in a parcel, covered in full": {
			When: packing.When{MassOver: of(10 * measure.Pound), Countries: []string{"CA", "MX"}}, Then: packing.Then{SheetsMost: of(3), FullCover: true},
		},
	} {
		if got := strings.ReplaceAll(words.Sentence(r), " and covered", ", covered"); got != want {
			t.Errorf("\n got %s\nwant %s", got, want)
		}
	}
}

// Each condition and demand has a phrase of its own: two rules that differ read differently.
func TestRulesThatDifferReadDifferently(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := aRule().Draw(t, "a"), aRule().Draw(t, "b")
		same := slices.Equal(words.When(a.When), words.When(b.When)) && slices.Equal(words.Then(a.Then), words.Then(b.Then))
		if same != (told(a) == told(b)) {
			t.Fatalf("%s and %s", words.Sentence(a), words.Sentence(b))
		}
	})
}

func TestRulesThatClash(t *testing.T) {
	small, large := packing.When{LongestTo: of(10 * measure.Inch)}, packing.When{LongestTo: of(20 * measure.Inch)}
	flat, rolled := packing.Then{Shape: packing.Flat}, packing.Then{Shape: packing.Rolled}
	rule := func(w packing.When, d packing.Then) packing.Rule { return packing.Rule{When: w, Then: d} }
	for name, c := range map[string]struct {
		rules  []packing.Rule
		why    string // "": they agree
		always bool
	}{
		"flat and rolled, the same prints":  {[]packing.Rule{rule(small, flat), rule(small, rolled)}, "one says flat", true},
		"flat and rolled, some of them":     {[]packing.Rule{rule(small, flat), rule(large, rolled)}, "one says flat", true},
		"flat and rolled, for what is both": {[]packing.Rule{rule(small, flat), rule(packing.When{Grades: []string{"fine"}}, rolled)}, "one says flat", false},
		"flat at home, rolled abroad":       {[]packing.Rule{rule(packing.When{Abroad: of(false)}, flat), rule(packing.When{Abroad: of(true)}, rolled)}, "", false},
		"flat to one place, rolled to another": {
			[]packing.Rule{rule(packing.When{Countries: []string{"CA"}}, flat), rule(packing.When{Countries: []string{"MX"}}, rolled)}, "", false,
		},
		"short and long": {[]packing.Rule{rule(small, flat), rule(packing.When{LongestOver: of(10 * measure.Inch)}, rolled)}, "", false},
		"a class required and forbidden": {
			[]packing.Rule{rule(packing.When{}, packing.Then{OnlyClasses: []string{"ground"}}), rule(small, packing.Then{NotClasses: []string{"ground"}})}, "no class of post is left", true,
		},
		"two classes required": {
			[]packing.Rule{rule(small, packing.Then{OnlyClasses: []string{"ground"}}), rule(small, packing.Then{OnlyClasses: []string{"priority", "express"}})}, "name different ones", true,
		},
		"one class left": {
			[]packing.Rule{rule(small, packing.Then{OnlyClasses: []string{"ground", "priority"}}), rule(small, packing.Then{NotClasses: []string{"ground"}})}, "", false,
		},
		"rolled, but no tube":            {[]packing.Rule{rule(small, rolled), rule(small, packing.Then{OnlyWraps: []string{"mailer", "box"}})}, "none of the wraps named is rolled", true},
		"a wrap required and forbidden":  {[]packing.Rule{rule(small, packing.Then{OnlyWraps: []string{"box"}}), rule(small, packing.Then{NotWraps: []string{"box"}})}, "no wrap is left", true},
		"of itself: required, forbidden": {[]packing.Rule{rule(small, packing.Then{OnlyClasses: []string{"ground"}, NotClasses: []string{"ground"}})}, "no class of post is left", true},
		"of itself: none so long":        {[]packing.Rule{rule(packing.When{LongestOver: of(9 * measure.Inch), LongestTo: of(9 * measure.Inch)}, flat)}, "no print is longer", true},
		"of itself: none so many":        {[]packing.Rule{rule(packing.When{SheetsFrom: of(5), SheetsTo: of(4)}, flat)}, "no parcel has so many", true},
		"of itself: home is not abroad":  {[]packing.Rule{rule(packing.When{Abroad: of(true), Countries: []string{"US"}}, flat)}, "does not go abroad", true},
		"of itself: flat is not rolled":  {[]packing.Rule{rule(packing.When{Shape: packing.Flat}, rolled)}, "what is flat cannot be rolled", true},
		"of itself: together, but few":   {[]packing.Rule{rule(packing.When{OrderSheetsFrom: of(5)}, packing.Then{Together: true, SheetsMost: of(4)})}, "does not fit together", true},
		"together and few of two rules": {
			[]packing.Rule{rule(packing.When{OrderSheetsFrom: of(5)}, packing.Then{Together: true}), rule(packing.When{}, packing.Then{SheetsMost: of(4)})}, "does not fit together", true,
		},
		"the same rule twice": {[]packing.Rule{rule(small, flat), rule(small, flat)}, "", false},
	} {
		got := studio.Clashes(c.rules)
		switch {
		case c.why == "" && len(got) > 0:
			t.Errorf("%s: they clash: %+v", name, got)
		case c.why != "" && len(got) != 1:
			t.Errorf("%s: %d clashes, want one: %+v", name, len(got), got)
		case c.why != "" && (!strings.Contains(got[0].Why, c.why) || got[0].Always != c.always || got[0].B != len(c.rules)-1 || got[0].A != 0 || got[0].Field == ""):
			t.Errorf("%s: %+v, want %q, always %v", name, got[0], c.why, c.always)
		}
	}
}

// parcel is what rules look at.
type parcel struct {
	grade            string
	sheets, ordered  int
	value, orderedTo int64
	longest          measure.Length
	mass             measure.Mass
	country          string
	wrap             packing.Wrap
	class            string
}

// applies and keeps say what the published meaning of a rule is (docs/formats/problem.md, section 7), for a parcel of one order.
func (p parcel) applies(w packing.When) bool {
	return (len(w.Grades) == 0 || slices.Contains(w.Grades, p.grade)) &&
		(w.SheetsFrom == nil || p.sheets >= *w.SheetsFrom) && (w.SheetsTo == nil || p.sheets <= *w.SheetsTo) &&
		(w.OrderSheetsFrom == nil || p.ordered >= *w.OrderSheetsFrom) && (w.OrderSheetsTo == nil || p.ordered <= *w.OrderSheetsTo) &&
		(w.ValueOver == nil || p.value > *w.ValueOver) && (w.OrderValueOver == nil || p.orderedTo > *w.OrderValueOver) &&
		(w.LongestOver == nil || p.longest > *w.LongestOver) && (w.LongestTo == nil || p.longest <= *w.LongestTo) &&
		(w.MassOver == nil || p.mass > *w.MassOver) && (w.MassTo == nil || p.mass <= *w.MassTo) &&
		(w.Abroad == nil || *w.Abroad == (p.country != "US")) && (len(w.Countries) == 0 || slices.Contains(w.Countries, p.country)) &&
		(w.Shape == "" || w.Shape == p.wrap.Shape)
}

func (p parcel) keeps(d packing.Then) bool {
	return (len(d.OnlyClasses) == 0 || slices.Contains(d.OnlyClasses, p.class)) && !slices.Contains(d.NotClasses, p.class) &&
		(len(d.OnlyWraps) == 0 || slices.Contains(d.OnlyWraps, p.wrap.ID)) && !slices.Contains(d.NotWraps, p.wrap.ID) &&
		(d.Shape == "" || d.Shape == p.wrap.Shape) && (d.SheetsMost == nil || p.sheets <= *d.SheetsMost) && (!d.Together || p.sheets == p.ordered)
}

// What is told to clash is kept by no parcel; what is told to clash always has one rule apply wherever the other does.
func TestNoParcelKeepsWhatClashes(t *testing.T) {
	clashed := 0
	rapid.Check(t, func(t *rapid.T) {
		all := []packing.Rule{aRule().Draw(t, "a"), aRule().Draw(t, "b")}
		found := studio.Clashes(all)
		clashed += len(found)
		for range 40 {
			p := aParcel().Draw(t, "parcel")
			for _, c := range found {
				a, b := all[c.A], all[c.B]
				if p.applies(a.When) && p.applies(b.When) && p.keeps(a.Then) && p.keeps(b.Then) {
					t.Fatalf("%+v keeps both %s and %s, told: %s", p, words.Sentence(a), words.Sentence(b), c.Why)
				}
			}
		}
	})
	if clashed == 0 {
		t.Error("no rules clashed: nothing was tested")
	}
}

func TestWhatClashesAlwaysHasBothApply(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		all := []packing.Rule{aRule().Draw(t, "a"), aRule().Draw(t, "b")}
		all[1].When = looser(t, all[0].When)
		for _, c := range studio.Clashes(all) {
			if !c.Always || c.A == c.B {
				continue
			}
			seen++
			forth, back := true, true
			for range 60 {
				p := aParcel().Draw(t, "parcel")
				a, b := p.applies(all[c.A].When), p.applies(all[c.B].When)
				forth, back = forth && (!a || b), back && (!b || a)
			}
			if !forth && !back {
				t.Fatalf("neither implies the other: %s; %s", words.Sentence(all[c.A]), words.Sentence(all[c.B]))
			}
		}
	})
	if seen == 0 {
		t.Error("no rules clashed always: nothing was tested")
	}
}

// looser leaves some of the conditions out.
func looser(t *rapid.T, w packing.When) packing.When {
	for i, leave := range []func(){
		func() { w.Grades = nil }, func() { w.SheetsFrom, w.OrderSheetsTo = nil, nil }, func() { w.ValueOver = nil }, func() { w.LongestTo = nil },
		func() { w.MassTo, w.MassOver = nil, nil }, func() { w.Abroad = nil }, func() { w.Countries = nil }, func() { w.Shape = "" },
	} {
		if rapid.Bool().Draw(t, "without "+strconv.Itoa(i)) {
			leave()
		}
	}
	return w
}

func told(r packing.Rule) string { r.ID, r.Text = "", ""; return words.Sentence(r) }

func maybe[T any](g *rapid.Generator[T]) *rapid.Generator[*T] {
	return rapid.Custom(func(t *rapid.T) *T {
		if rapid.IntRange(0, 3).Draw(t, "some") > 0 {
			return nil
		}
		return of(g.Draw(t, "value"))
	})
}

func some(words ...string) *rapid.Generator[[]string] {
	return rapid.Custom(func(t *rapid.T) []string {
		if rapid.IntRange(0, 3).Draw(t, "some") > 0 {
			return nil
		}
		return rapid.SliceOfNDistinct(rapid.SampledFrom(words), 1, 2, rapid.ID[string]).Draw(t, "words")
	})
}

func aRule() *rapid.Generator[packing.Rule] {
	lengths := rapid.SampledFrom([]measure.Length{10 * measure.Inch, 19 * measure.Inch})
	masses := rapid.SampledFrom([]measure.Mass{measure.Pound, 10 * measure.Pound})
	shape := rapid.SampledFrom([]packing.Shape{"", "", packing.Flat, packing.Rolled})
	few, amount := rapid.IntRange(1, 4), rapid.Int64Range(0, 3)
	return rapid.Custom(func(t *rapid.T) packing.Rule {
		return packing.Rule{
			When: packing.When{
				Grades: some("fine", "standard").Draw(t, "grades"), SheetsFrom: maybe(few).Draw(t, "from"), SheetsTo: maybe(few).Draw(t, "to"),
				OrderSheetsFrom: maybe(few).Draw(t, "order from"), OrderSheetsTo: maybe(few).Draw(t, "order to"), ValueOver: maybe(amount).Draw(t, "value"), OrderValueOver: maybe(amount).Draw(t, "order value"),
				LongestOver: maybe(lengths).Draw(t, "over"), LongestTo: maybe(lengths).Draw(t, "to"), MassOver: maybe(masses).Draw(t, "heavier"), MassTo: maybe(masses).Draw(t, "lighter"),
				Abroad: maybe(rapid.Bool()).Draw(t, "abroad"), Countries: some("US", "CA", "MX").Draw(t, "countries"), Shape: shape.Draw(t, "lies"),
			},
			Then: packing.Then{
				OnlyClasses: some("ground", "priority").Draw(t, "only"), NotClasses: some("ground", "priority").Draw(t, "not"), OnlyWraps: some("mailer", "box", "tube").Draw(t, "only wraps"),
				NotWraps: some("mailer", "box", "tube").Draw(t, "not wraps"), Shape: shape.Draw(t, "shape"), SheetsMost: maybe(few).Draw(t, "most"), Together: rapid.Bool().Draw(t, "together"), Tracking: true,
			},
		}
	})
}

func aParcel() *rapid.Generator[parcel] {
	return rapid.Custom(func(t *rapid.T) parcel {
		p := parcel{
			grade: rapid.SampledFrom([]string{"fine", "standard", "proof"}).Draw(t, "grade"), sheets: rapid.IntRange(1, 4).Draw(t, "sheets"), value: rapid.Int64Range(0, 4).Draw(t, "value"),
			longest: measure.Length(rapid.IntRange(8, 21).Draw(t, "longest")) * measure.Inch, mass: measure.Mass(rapid.IntRange(1, 12).Draw(t, "mass")) * measure.Pound,
			country: rapid.SampledFrom([]string{"US", "CA", "MX"}).Draw(t, "country"), wrap: rapid.SampledFrom(wraps).Draw(t, "wrap"),
			class: rapid.SampledFrom([]string{"ground", "priority", "express"}).Draw(t, "class"),
		}
		p.ordered, p.orderedTo = p.sheets+rapid.IntRange(0, 2).Draw(t, "more"), p.value+rapid.Int64Range(0, 2).Draw(t, "worth")
		return p
	})
}
