package rules

import (
	"slices"

	"solander/measure"
	"solander/packing"
)

// Studio is what rules are held against: the wraps that they name, and the country that parcels leave from ("US").
type Studio struct {
	Wraps []packing.Wrap
	Home  string
}

// Clash is two house rules, by their places in the list, that cannot both be kept, A before B; or one that contradicts
// itself, where they are the same.
type Clash struct {
	A, B  int
	Why   string // "one says flat, the other rolled"
	Field string // of a rule: the part that is at fault, "then.shape"
	// Always: whatever one of them applies to, the other does, too, so that it can never be kept. Else only what both
	// apply to cannot go.
	Always bool
}

// Clashes finds every pair of rules that cannot both be kept by any parcel that both apply to, and every rule that
// contradicts itself. What takes three rules to contradict is found by the planner, order by order.
func (s Studio) Clashes(all []packing.Rule) []Clash {
	var out []Clash
	for i, b := range all {
		if why, field := s.self(b); why != "" {
			out = append(out, Clash{A: i, B: i, Why: why, Field: field, Always: true})
			continue
		}
		for j, a := range all[:i] {
			if why, field := s.self(a); why != "" || field != "" {
				continue // told already
			}
			when := both(a.When, b.When)
			if why, _ := s.never(when); why != "" {
				continue // nothing has both rules apply to it
			}
			if why, field := s.quarrel(when, together(a.Then, b.Then)); why != "" {
				out = append(out, Clash{A: j, B: i, Why: why, Field: field, Always: s.implies(a.When, b.When) || s.implies(b.When, a.When)})
			}
		}
	}
	return out
}

// self says how a rule contradicts itself.
func (s Studio) self(r packing.Rule) (why, field string) {
	if why, field = s.never(r.When); why != "" {
		return why, "when." + field
	}
	if why, field = s.quarrel(r.When, demands{Then: r.Then, onlyClasses: lists(r.Then.OnlyClasses), onlyWraps: lists(r.Then.OnlyWraps), shapes: shapes(r.Then.Shape)}); why != "" {
		return why, field
	}
	if r.When.Shape != "" && r.Then.Shape != "" && r.When.Shape != r.Then.Shape {
		return "what is " + string(r.When.Shape) + " cannot be " + string(r.Then.Shape), "then.shape"
	}
	return "", ""
}

// never says why nothing meets the conditions.
func (s Studio) never(w packing.When) (why, field string) {
	switch {
	case crossed(w.SheetsFrom, w.SheetsTo):
		return "no parcel has so many prints and so few", "sheets_to"
	case crossed(w.OrderSheetsFrom, w.OrderSheetsTo):
		return "no order has so many prints and so few", "order_sheets_to"
	case w.LongestOver != nil && w.LongestTo != nil && *w.LongestOver >= *w.LongestTo:
		return "no print is longer than the one and up to the other", "longest_to"
	case w.MassOver != nil && w.MassTo != nil && *w.MassOver >= *w.MassTo:
		return "no parcel is heavier than the one and up to the other", "mass_to"
	case s.Home != "" && w.Abroad != nil && *w.Abroad && len(w.Countries) > 0 && only(w.Countries, s.Home):
		return "what goes to " + s.Home + " does not go abroad", "countries"
	case s.Home != "" && w.Abroad != nil && !*w.Abroad && len(w.Countries) > 0 && !slices.Contains(w.Countries, s.Home):
		return "what stays in the country goes to none of these", "countries"
	}
	return "", ""
}

func crossed(from, to *int) bool { return from != nil && to != nil && *from > *to }

func only(list []string, word string) bool {
	return !slices.ContainsFunc(list, func(x string) bool { return x != word })
}

// demands are those of one rule, or of two: each list that narrows the choice is kept by itself.
type demands struct {
	packing.Then
	onlyClasses, onlyWraps [][]string
	shapes                 []packing.Shape
}

// quarrel says why no parcel of these conditions keeps the demands.
func (s Studio) quarrel(w packing.When, d demands) (why, field string) {
	if len(d.shapes) > 1 && d.shapes[0] != d.shapes[1] {
		return "one says " + string(d.shapes[0]) + ", the other " + string(d.shapes[1]), "then.shape"
	}
	if len(d.onlyClasses) > 0 && len(left(d.onlyClasses, d.NotClasses)) == 0 {
		return "no class of post is left: " + leftOf("class", d.onlyClasses, d.NotClasses), "then.only_classes"
	}
	if len(d.onlyWraps) > 0 {
		names := left(d.onlyWraps, d.NotWraps)
		if len(names) == 0 {
			return "no wrap is left: " + leftOf("wrap", d.onlyWraps, d.NotWraps), "then.only_wraps"
		}
		for _, shape := range append(shapes(w.Shape), d.shapes...) {
			if known, fits := s.shaped(names, shape); known && !fits {
				return "none of the wraps named is " + string(shape), "then.only_wraps"
			}
		}
	}
	if d.Together && d.SheetsMost != nil && w.OrderSheetsFrom != nil && *w.OrderSheetsFrom > *d.SheetsMost {
		return "an order of so many prints does not fit together into a parcel of so few", "then.sheets_most"
	}
	return "", ""
}

// leftOf says of which kind the contradiction of two lists is.
func leftOf(what string, onlys [][]string, nots []string) string {
	if len(onlys) > 1 && len(left(onlys, nil)) == 0 {
		return "the rules name different ones"
	}
	return "each " + what + " that is allowed is forbidden, too"
}

// left is what all lists allow and nothing forbids.
func left(onlys [][]string, nots []string) []string {
	var out []string
	for _, x := range onlys[0] {
		if slices.Contains(nots, x) || slices.ContainsFunc(onlys[1:], func(l []string) bool { return !slices.Contains(l, x) }) {
			continue
		}
		out = append(out, x)
	}
	return out
}

// shaped reports whether the wraps are all known, and one of them has the shape.
func (s Studio) shaped(ids []string, shape packing.Shape) (known, fits bool) {
	for _, id := range ids {
		i := slices.IndexFunc(s.Wraps, func(w packing.Wrap) bool { return w.ID == id })
		if i < 0 {
			return false, false
		}
		fits = fits || s.Wraps[i].Shape == shape
	}
	return true, fits
}

func lists(l []string) [][]string {
	if len(l) == 0 {
		return nil
	}
	return [][]string{l}
}

func shapes(s packing.Shape) []packing.Shape {
	if s == "" {
		return nil
	}
	return []packing.Shape{s}
}

// together is the demands of two rules.
func together(a, b packing.Then) demands {
	d := demands{
		onlyClasses: append(lists(a.OnlyClasses), lists(b.OnlyClasses)...), onlyWraps: append(lists(a.OnlyWraps), lists(b.OnlyWraps)...),
		shapes: append(shapes(a.Shape), shapes(b.Shape)...),
	}
	d.NotClasses, d.NotWraps = slices.Concat(a.NotClasses, b.NotClasses), slices.Concat(a.NotWraps, b.NotWraps)
	d.SheetsMost, d.Together = least(a.SheetsMost, b.SheetsMost), a.Together || b.Together
	return d
}

// both is the conditions of two rules at once, but for the grades: a parcel may hold prints of several.
func both(a, b packing.When) packing.When {
	w := packing.When{
		SheetsFrom: most(a.SheetsFrom, b.SheetsFrom), SheetsTo: least(a.SheetsTo, b.SheetsTo),
		OrderSheetsFrom: most(a.OrderSheetsFrom, b.OrderSheetsFrom), OrderSheetsTo: least(a.OrderSheetsTo, b.OrderSheetsTo),
		LongestOver: most(a.LongestOver, b.LongestOver), LongestTo: least(a.LongestTo, b.LongestTo),
		MassOver: most(a.MassOver, b.MassOver), MassTo: least(a.MassTo, b.MassTo),
		Abroad: a.Abroad, Countries: a.Countries, Shape: a.Shape,
	}
	zero, one := 0, 1
	switch {
	case a.Shape != "" && b.Shape != "" && a.Shape != b.Shape, a.Abroad != nil && b.Abroad != nil && *a.Abroad != *b.Abroad:
		w.SheetsFrom, w.SheetsTo = &one, &zero // nothing is both
	case a.Shape == "":
		w.Shape = b.Shape
	}
	if a.Abroad == nil {
		w.Abroad = b.Abroad
	}
	if len(a.Countries) == 0 {
		w.Countries = b.Countries
	} else if len(b.Countries) > 0 {
		if w.Countries = left([][]string{a.Countries, b.Countries}, nil); len(w.Countries) == 0 {
			w.SheetsFrom, w.SheetsTo = &one, &zero
		}
	}
	return w
}

// most and least are the greater and the lesser of two bounds; nil is none.
func most[T ~int | ~int64](a, b *T) *T {
	if a == nil || b != nil && *b > *a {
		return b
	}
	return a
}

func least[T ~int | ~int64](a, b *T) *T {
	if a == nil || b != nil && *b < *a {
		return b
	}
	return a
}

// implies reports whether whatever meets the conditions a meets b, too.
func (s Studio) implies(a, b packing.When) bool {
	return within(a.Grades, b.Grades) && within(a.Countries, b.Countries) && within(a.Orders, b.Orders) &&
		above(a.SheetsFrom, b.SheetsFrom) && below(a.SheetsTo, b.SheetsTo) &&
		above(a.OrderSheetsFrom, b.OrderSheetsFrom) && below(a.OrderSheetsTo, b.OrderSheetsTo) &&
		above(a.ValueOver, b.ValueOver) && above(a.OrderValueOver, b.OrderValueOver) &&
		above(a.LongestOver, b.LongestOver) && below(a.LongestTo, b.LongestTo) &&
		above(a.MassOver, b.MassOver) && below(a.MassTo, b.MassTo) &&
		(b.Shape == "" || a.Shape == b.Shape) && s.goes(a, b.Abroad)
}

// goes reports whether what meets the conditions goes abroad, or not, as it is asked.
func (s Studio) goes(a packing.When, abroad *bool) bool {
	if abroad == nil || a.Abroad != nil && *a.Abroad == *abroad {
		return true
	}
	if s.Home == "" || len(a.Countries) == 0 {
		return false
	}
	if *abroad {
		return !slices.Contains(a.Countries, s.Home)
	}
	return only(a.Countries, s.Home)
}

// within reports whether a list, none meaning any, allows nothing that b does not.
func within(a, b []string) bool {
	return len(b) == 0 || len(a) > 0 && !slices.ContainsFunc(a, func(x string) bool { return !slices.Contains(b, x) })
}

func above[T int | int64 | measure.Length | measure.Mass](a, b *T) bool {
	return b == nil || a != nil && *a >= *b
}

func below[T int | int64 | measure.Length | measure.Mass](a, b *T) bool {
	return b == nil || a != nil && *a <= *b
}
