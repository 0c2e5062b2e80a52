package parcel

import (
	"fmt"
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/tariff"
)

// Concerned returns the house rules whose conditions on the sheets, the order and the destination hold.
// Conditions on the wrap's shape and the packed mass are looked at later.
func (k *Kit) Concerned(o *Order, set []int, f Facts) []*packing.Rule {
	var out []*packing.Rule
	for i := range k.P.Rules {
		if r := &k.P.Rules[i]; k.Concerns(&r.When, o, set, f) {
			out = append(out, r)
		}
	}
	return out
}

func (k *Kit) Concerns(w *packing.When, o *Order, set []int, f Facts) bool {
	atLeast := func(n int, from *int) bool { return from == nil || n >= *from }
	atMost := func(n int, to *int) bool { return to == nil || n <= *to }
	over := func(n int64, limit *int64) bool { return limit == nil || n > *limit }
	return atLeast(f.N, w.SheetsFrom) && atMost(f.N, w.SheetsTo) &&
		o.one(f, func(m *Member) bool {
			return atLeast(m.total, w.OrderSheetsFrom) && atMost(m.total, w.OrderSheetsTo) && over(m.value, w.OrderValueOver) &&
				(len(w.Orders) == 0 || slices.Contains(w.Orders, m.ID))
		}) &&
		over(f.Value, w.ValueOver) &&
		(w.LongestOver == nil || f.longest > *w.LongestOver) && (w.LongestTo == nil || f.longest <= *w.LongestTo) &&
		(w.Abroad == nil || *w.Abroad == (o.Destination.Country != k.P.Origin.Country)) &&
		(len(w.Countries) == 0 || slices.Contains(w.Countries, o.Destination.Country)) &&
		(len(w.Grades) == 0 || o.hasGrade(set, w.Grades))
}

func (o *Order) hasGrade(set []int, grades []string) bool {
	for g, n := range set {
		if n > 0 && slices.Contains(grades, o.Groups[g].First.Grade) {
			return true
		}
	}
	return false
}

// holds reports whether the rest of a rule's conditions hold.
func InForce(w *packing.When, shape packing.Shape, mass measure.Mass) bool {
	return (w.Shape == "" || w.Shape == shape) && (w.MassOver == nil || mass > *w.MassOver) && (w.MassTo == nil || mass <= *w.MassTo)
}

func Weighs(w *packing.When) bool { return w.MassOver != nil || w.MassTo != nil }

// ForbidsWrap says why a rule in force forbids a wrap for these sheets, or returns nil.
func ForbidsWrap(r *packing.Rule, o *Order, f Facts, w *means.Wrap) *packing.Reason {
	t := &r.Then
	switch {
	case t.Shape != "" && t.Shape != w.Shape:
		return means.House(r, fmt.Sprintf("the parcel must be %s, %s is %s", t.Shape, w.ID, w.Shape))
	case len(t.OnlyWraps) > 0 && !slices.Contains(t.OnlyWraps, w.ID), slices.Contains(t.NotWraps, w.ID):
		return means.House(r, "the wrap "+w.ID+" is not allowed")
	case t.SheetsMost != nil && f.N > *t.SheetsMost:
		why := means.House(r, fmt.Sprintf("%d sheets in a parcel, at most %d are allowed", f.N, *t.SheetsMost))
		why.Got, why.Limit, why.Unit = int64(f.N), int64(*t.SheetsMost), "sheets"
		return why
	case t.Together && f.N < o.Whole(f):
		whole, text := o.Whole(f), "the order of %d sheets may not be split"
		if f.Orders.Count() > 1 {
			text = "the orders in it, of %d sheets together, may not be split"
		}
		why := means.House(r, fmt.Sprintf(text, whole))
		why.Got, why.Limit, why.Unit = int64(f.N), int64(whole), "sheets"
		return why
	}
	return nil
}

// demand is what the house rules leave of the services for one wrap and mass.
type demand struct {
	offers []*means.Offer
	extras tariff.Extras
	barred bool // the wrap itself is forbidden
}

// demands applies rules to a wrap and a packed mass.
func (o *Order) demands(rules []*packing.Rule, f Facts, w *means.Wrap, mass measure.Mass) demand {
	var force []*packing.Rule
	for _, r := range rules {
		if InForce(&r.When, w.Shape, mass) {
			force = append(force, r)
		}
	}
	for _, r := range force {
		if ForbidsWrap(r, o, f, w) != nil {
			return demand{barred: true}
		}
	}
	d := demand{extras: means.Asks(force, f.Value)}
	for _, of := range o.Way.Offers {
		if of.InTime(o.By(f)) && !slices.ContainsFunc(force, func(r *packing.Rule) bool { return means.ForbidsClass(r, of.Service.Class) != nil }) {
			d.offers = append(d.offers, of)
		}
	}
	return d
}
