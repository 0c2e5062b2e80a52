package check

import (
	"slices"

	"solander/packing"
)

// asked is what the house rules ask of a service.
type asked struct{ tracking, signature, cover bool }

// asks is what the house rules that apply ask of a service. Source: docs/formats/problem.md, section 7.
func (r *Reckoner) asks(p *Packed) asked {
	var ask asked
	for _, rule := range r.applying(p) {
		ask.tracking = ask.tracking || rule.Then.Tracking
		ask.signature = ask.signature || rule.Then.Signature
		ask.cover = ask.cover || rule.Then.FullCover
	}
	return ask
}

// applying are the house rules whose conditions hold, in the problem's order.
func (r *Reckoner) applying(p *Packed) []*packing.Rule {
	var out []*packing.Rule
	for i := range r.problem.Rules {
		if rule := &r.problem.Rules[i]; r.holds(&rule.When, p) {
			out = append(out, rule)
		}
	}
	return out
}

// holds reports whether every condition given holds for the parcel.
func (r *Reckoner) holds(w *packing.When, p *Packed) bool {
	to := p.order.Destination.Country
	abroad := to != r.problem.Origin.Country
	return (len(w.Grades) == 0 || r.hasGrade(p, w.Grades)) &&
		atLeast(w.SheetsFrom, p.copies) && atMost(w.SheetsTo, p.copies) &&
		slices.ContainsFunc(p.orders, func(o *packing.Order) bool {
			copies := orderCopies(o)
			return atLeast(w.OrderSheetsFrom, copies) && atMost(w.OrderSheetsTo, copies) && moreThan(w.OrderValueOver, orderValue(o)) &&
				(len(w.Orders) == 0 || slices.Contains(w.Orders, o.ID))
		}) &&
		moreThan(w.ValueOver, p.value) &&
		moreThan(w.LongestOver, p.longest) && atMost(w.LongestTo, p.longest) &&
		moreThan(w.MassOver, p.mass) && atMost(w.MassTo, p.mass) &&
		(w.Abroad == nil || *w.Abroad == abroad) &&
		(len(w.Countries) == 0 || slices.Contains(w.Countries, to)) &&
		(w.Shape == "" || w.Shape == p.wrap.Shape)
}

func atLeast[T int | int64](bound *T, got T) bool { return bound == nil || got >= *bound }

func atMost[T ~int | ~int64](bound *T, got T) bool { return bound == nil || got <= *bound }

func moreThan[T ~int64](bound *T, got T) bool { return bound == nil || got > *bound }

func (r *Reckoner) hasGrade(p *Packed, grades []string) bool {
	return slices.ContainsFunc(p.contents, func(c packing.Content) bool {
		return slices.Contains(grades, r.sheetOf(c).Grade)
	})
}

// wrapDemands returns the demands on wrap and contents that do not hold, rule by rule, each in the order
// of docs/formats/problem.md, section 7.
func (r *Reckoner) wrapDemands(p *Packed) []packing.Reason {
	var broken []packing.Reason
	for _, rule := range r.applying(p) {
		t, name := &rule.Then, "house."+rule.ID
		if t.Shape != "" && t.Shape != p.wrap.Shape {
			broken = append(broken, breaks(name, 0, 0, ""))
		}
		if len(t.OnlyWraps) > 0 && !slices.Contains(t.OnlyWraps, p.wrap.ID) {
			broken = append(broken, breaks(name, 0, 0, ""))
		}
		if slices.Contains(t.NotWraps, p.wrap.ID) {
			broken = append(broken, breaks(name, 0, 0, ""))
		}
		if t.SheetsMost != nil && p.copies > *t.SheetsMost {
			broken = append(broken, breaks(name, int64(p.copies), int64(*t.SheetsMost), "sheets"))
		}
		if whole := p.wholeCopies(); t.Together && p.copies != whole {
			broken = append(broken, breaks(name, int64(p.copies), int64(whole), "sheets"))
		}
	}
	return broken
}

// classDemands returns the demands on the service's class that do not hold, rule by rule.
func (r *Reckoner) classDemands(p *Packed, class string) []packing.Reason {
	var broken []packing.Reason
	for _, rule := range r.applying(p) {
		t := &rule.Then
		if len(t.OnlyClasses) > 0 && !slices.Contains(t.OnlyClasses, class) || slices.Contains(t.NotClasses, class) {
			broken = append(broken, breaks("house."+rule.ID, 0, 0, ""))
		}
	}
	return broken
}

func orderCopies(o *packing.Order) int {
	n := 0
	for i := range o.Sheets {
		n += copiesOf(&o.Sheets[i])
	}
	return n
}

func orderValue(o *packing.Order) int64 {
	var n int64
	for i := range o.Sheets {
		n += int64(copiesOf(&o.Sheets[i])) * o.Sheets[i].Value
	}
	return n
}
