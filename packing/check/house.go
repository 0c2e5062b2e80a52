package check

import (
	"slices"

	"solander/packing"
)

// asked is what the house rules ask of a service.
type asked struct{ tracking, signature, cover bool }

// house looks at every house rule in turn and returns what it asks of the service. With no offer the
// demands on the service's class are left out. Source: docs/formats/problem.md, section 7.
func (r *Reckoner) house(p *Packed, offer *Offer) (asked, []packing.Reason) {
	var ask asked
	var broken []packing.Reason
	for i := range r.problem.Rules {
		rule := &r.problem.Rules[i]
		if !r.holds(&rule.When, p) {
			continue
		}
		ask.tracking = ask.tracking || rule.Then.Tracking
		ask.signature = ask.signature || rule.Then.Signature
		ask.cover = ask.cover || rule.Then.FullCover
		broken = append(broken, demands(&rule.Then, "house."+rule.ID, p, offer)...)
	}
	return ask, broken
}

// holds reports whether every condition given holds for the parcel.
func (r *Reckoner) holds(w *packing.When, p *Packed) bool {
	order := p.order
	abroad := order.Destination.Country != r.problem.Origin.Country
	copies, value := orderCopies(order), orderValue(order)
	return (len(w.Grades) == 0 || p.hasGrade(w.Grades)) &&
		atLeast(w.SheetsFrom, p.copies) && atMost(w.SheetsTo, p.copies) &&
		atLeast(w.OrderSheetsFrom, copies) && atMost(w.OrderSheetsTo, copies) &&
		moreThan(w.ValueOver, p.value) && moreThan(w.OrderValueOver, value) &&
		moreThan(w.LongestOver, p.longest) && atMost(w.LongestTo, p.longest) &&
		moreThan(w.MassOver, p.mass) && atMost(w.MassTo, p.mass) &&
		(w.Abroad == nil || *w.Abroad == abroad) &&
		(len(w.Countries) == 0 || slices.Contains(w.Countries, order.Destination.Country)) &&
		(w.Shape == "" || w.Shape == p.wrap.Shape)
}

func atLeast[T int | int64](bound *T, got T) bool { return bound == nil || got >= *bound }

func atMost[T ~int | ~int64](bound *T, got T) bool { return bound == nil || got <= *bound }

func moreThan[T ~int64](bound *T, got T) bool { return bound == nil || got > *bound }

func (p *Packed) hasGrade(grades []string) bool {
	return slices.ContainsFunc(p.contents, func(c packing.Content) bool {
		return slices.Contains(grades, sheetOf(p.order, c.Sheet).Grade)
	})
}

// demands returns those demands on wrap, contents and class that do not hold, in the order of
// docs/formats/problem.md, section 7.
func demands(t *packing.Then, rule string, p *Packed, offer *Offer) []packing.Reason {
	var broken []packing.Reason
	no := func(ok bool) {
		if !ok {
			broken = append(broken, breaks(rule, 0, 0, ""))
		}
	}
	no(t.Shape == "" || t.Shape == p.wrap.Shape)
	no(len(t.OnlyWraps) == 0 || slices.Contains(t.OnlyWraps, p.wrap.ID))
	no(!slices.Contains(t.NotWraps, p.wrap.ID))
	if t.SheetsMost != nil && p.copies > *t.SheetsMost {
		broken = append(broken, breaks(rule, int64(p.copies), int64(*t.SheetsMost), "sheets"))
	}
	if whole := orderCopies(p.order); t.Together && p.copies != whole {
		broken = append(broken, breaks(rule, int64(p.copies), int64(whole), "sheets"))
	}
	if offer != nil {
		no(len(t.OnlyClasses) == 0 || slices.Contains(t.OnlyClasses, offer.service.Class))
		no(!slices.Contains(t.NotClasses, offer.service.Class))
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
