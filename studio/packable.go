package studio

import (
	"errors"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/packing"
)

// trial is a problem whose only purpose is to have shelf, wraps and rules looked at by the one who
// knows their form.
func trial(shelf []packing.Item, wraps []packing.Wrap, rules []packing.Rule) packing.Problem {
	return packing.Problem{
		Format: packing.ProblemFormat, Currency: "USD", Day: calendar.Date(2000, 1, 3), Origin: packing.Place{Country: "US", Postcode: "00000"},
		Orders: []packing.Order{{ID: "trial", Destination: packing.Place{Country: "US", Postcode: "00000"}, Sheets: []packing.Sheet{{
			ID: "trial", Width: measure.Inch, Height: measure.Inch, Caliper: measure.Mil, Grammage: 100 * measure.GSM, Copies: 1,
		}}}},
		Shelf: shelf, Wraps: wraps, Rules: rules,
	}
}

// faultsBelow keeps the faults of a problem that lie below a path, and puts another path in its place.
func faultsBelow(p packing.Problem, path, instead string) error {
	var out []error
	for _, f := range fault.All(p.Check()) {
		rest, ok := strings.CutPrefix(f.Field, path)
		if ok && f.Code == fault.Invalid {
			out = append(out, f.In(instead+rest).At(""))
		}
	}
	return errors.Join(out...)
}

// packable checks wraps and house rules against the shelf: form, order of layers, and that every item
// and wrap named is there. Faults: Invalid, one a field.
func packable(s Settings, shelf []ShelfItem) error {
	items := make([]packing.Item, len(shelf))
	for i, it := range shelf {
		items[i] = it.Spec
	}
	p := trial(items, s.Wraps, s.Rules)
	return errors.Join(faultsBelow(p, "wraps[", "wraps["), faultsBelow(p, "rules[", "rules["))
}
