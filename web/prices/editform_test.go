package prices

import (
	"net/url"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/measure"
	"solander/tariff"
	"solander/tariff/cards"
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

// again lays a service out, and takes what its form shows.
func again(t interface{ Fatalf(string, ...any) }, c tariff.Card, s tariff.Service, u measure.System) (tariff.Card, tariff.Service) {
	shown, was := c, copyOf(s)
	typed := typedIn(newEditor(&shown, &was, u, "Nell").Form)
	got := frameOf(copyOf(s), typed)
	if err := newEditor(&c, &got, u, "Nell").Take(typed); err != nil {
		t.Fatalf("%s %s: %v", c.ID, s.ID, err)
	}
	return c, got
}

func copyOf(s tariff.Service) tariff.Service {
	s.Limits = append([]tariff.Bound(nil), s.Limits...)
	s.Surcharges = append([]tariff.Surcharge(nil), s.Surcharges...)
	return s
}

// Every service of every card that comes with the program comes out of its form as it went in, whatever has no field, too.
func TestBundledCardsComeBackAsTheyWereShown(t *testing.T) {
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, c := range all {
		for _, s := range c.Services {
			for _, u := range measure.Systems() {
				n++
				card, service := again(t, c, s, u)
				if diff := cmp.Diff(s, service); diff != "" {
					t.Errorf("%s %s in %s (-want +got):\n%s", c.ID, s.ID, u, diff)
				}
				if card.From != c.From || card.To != c.To || card.Note != c.Note || card.Source != c.Source {
					t.Errorf("%s: the head is another: %+v", c.ID, card)
				}
			}
		}
	}
	if n < 60 {
		t.Fatalf("%d services: nothing was tested", n)
	}
}

// Rules that no bundled card has come back, too.
func TestRulesOfAServiceComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(measure.Systems()).Draw(t, "units")
		bound := func(name string) tariff.Bound {
			b := tariff.Bound{Measure: rapid.SampledFrom(tariff.Measures()).Draw(t, name), Form: rapid.SampledFrom([]tariff.Form{"", tariff.Box, tariff.Cylinder}).Draw(t, name+" of")}
			for _, at := range []**int64{&b.Min, &b.Over, &b.Max, &b.Under} {
				if rapid.Bool().Draw(t, name+"?") {
					v := rapid.Int64Range(1, 3_000_000_000).Draw(t, name+" is")
					*at = &v
				}
			}
			return b
		}
		s := tariff.Service{ID: "s", Class: "c", Name: "S", Flexible: rapid.Bool().Draw(t, "flexible"), Tracking: rapid.Bool().Draw(t, "tracking")}
		for range rapid.IntRange(0, 4).Draw(t, "limits") {
			s.Limits = append(s.Limits, bound("limit"))
		}
		for i := range rapid.IntRange(0, 3).Draw(t, "fees") {
			fee := tariff.Surcharge{ID: string(rune('a' + i)), Name: "fee", Amount: rapid.Int64Range(0, 99999).Draw(t, "amount"), Group: rapid.SampledFrom([]string{"", "g"}).Draw(t, "group"), Source: "page 3", Status: "primary"}
			for range rapid.IntRange(0, 3).Draw(t, "conditions") {
				fee.When = append(fee.When, bound("when"))
			}
			if rapid.Bool().Draw(t, "stiff?") {
				is := rapid.Bool().Draw(t, "stiff")
				fee.Stiff = &is
			}
			s.Surcharges = append(s.Surcharges, fee)
		}
		if rapid.Bool().Draw(t, "bulky") {
			s.Dimensional = &tariff.Dimensional{
				Over: tariff.Volume(rapid.Int64Range(0, 9e15).Draw(t, "over")), Divisor: tariff.Ratio{Volume: tariff.Volume(rapid.Int64Range(1, 9e15).Draw(t, "divisor")), Mass: measure.Mass(rapid.Int64Range(1, 9e12).Draw(t, "weighs"))},
				Step: measure.Mass(rapid.Int64Range(0, 9e12).Draw(t, "step")), Most: measure.Mass(rapid.Int64Range(0, 9e13).Draw(t, "most")),
			}
			if rapid.Bool().Draw(t, "rounded") {
				s.Dimensional.Round = tariff.Rounding{Step: measure.Length(rapid.Int64Range(1, 1e8).Draw(t, "to")), Mode: rapid.SampledFrom([]tariff.Mode{tariff.Nearest, tariff.Up, tariff.Down}).Draw(t, "mode")}
			}
		}
		_, got := again(t, tariff.Card{ID: "c", Currency: "USD", From: calendar.Date(2026, 4, 1), Source: "a page"}, s, u)
		if diff := cmp.Diff(s, got); diff != "" {
			t.Fatalf("(-want +got):\n%s", diff)
		}
	})
}
