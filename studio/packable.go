package studio

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/measure"
	"solander/packing"
)

// Trial is a problem whose only purpose is to have shelf, wraps and rules looked at by the one who
// knows their form.
func Trial(shelf []packing.Item, wraps []packing.Wrap, rules []packing.Rule) packing.Problem {
	return packing.Problem{
		Format: packing.ProblemFormat, Currency: "USD", Day: calendar.Date(2000, 1, 3), Origin: packing.Place{Country: "US", Postcode: "00000"},
		Orders: []packing.Order{{ID: "trial", Destination: packing.Place{Country: "US", Postcode: "00000"}, Sheets: []packing.Sheet{{
			ID: "trial", Width: measure.Inch, Height: measure.Inch, Caliper: measure.Mil, Grammage: 100 * measure.GSM, Copies: 1,
		}}}},
		Shelf: shelf, Wraps: wraps, Rules: rules,
	}
}

// FaultsBelow keeps the faults of a problem that lie below a path, and puts another path in its place.
func FaultsBelow(p packing.Problem, path, instead string) error {
	var out []error
	for _, f := range fault.All(p.Check()) {
		rest, ok := strings.CutPrefix(f.Field, path)
		if ok && f.Code == fault.Invalid {
			out = append(out, f.In(instead+rest).At(""))
		}
	}
	return errors.Join(out...)
}

// Packable checks wraps and house rules against the shelf: form, order of layers, and that every item
// and wrap named is there. Faults: Invalid, one a field.
func Packable(s Settings, shelf []ShelfItem) error {
	items := make([]packing.Item, len(shelf))
	for i, it := range shelf {
		items[i] = it.Spec
	}
	p := Trial(items, s.Wraps, s.Rules)
	var l fault.List
	for i, r := range s.Rules {
		l.Check(len(r.When.Orders) == 0, fmt.Sprintf("rules[%d].when.orders", i), "a house rule names no orders", "leave them out: what one order asks for is chosen on its page")
	}
	return s.placed(errors.Join(FaultsBelow(p, "wraps[", "wraps["), FaultsBelow(p, "rules[", "rules["), l.Err()))
}

// placed says of faults in wraps and rules which wrap, layer or rule they are in, as a person names it.
func (s Settings) placed(err error) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range fault.All(err) {
		out = append(out, f.At("%s", s.placeOf(f.Field)))
	}
	return errors.Join(out...)
}

// placeOf names the part of the settings that a path leads to: wraps[0].layers[1].items[0] is in layer 2 of the
// first wrap.
func (s Settings) placeOf(path string) string {
	var i, j int
	if n, _ := fmt.Sscanf(path, "rules[%d]", &i); n == 1 && i < len(s.Rules) {
		return "the rule " + cmp.Or(s.Rules[i].Text, s.Rules[i].ID)
	}
	switch n, _ := fmt.Sscanf(path, "wraps[%d].layers[%d]", &i, &j); {
	case n == 0 || i >= len(s.Wraps):
		return ""
	case n == 1 || j >= len(s.Wraps[i].Layers):
		return "the wrap " + dayplan.WrapName(s.Wraps[i])
	}
	return fmt.Sprintf("the wrap %s, layer %d (%s)", dayplan.WrapName(s.Wraps[i]), j+1, s.Wraps[i].Layers[j].Kind)
}

// Naming returns the wraps that name an item of the shelf by its key.
func (s Settings) Naming(key string) []string {
	var out []string
	for _, w := range s.Wraps {
		if slices.ContainsFunc(w.Layers, func(l packing.Layer) bool { return slices.Contains(l.Items, key) }) {
			out = append(out, dayplan.WrapName(w))
		}
	}
	return out
}
