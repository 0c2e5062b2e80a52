// Package front compares the ways to send an order by three measures: what they cost, when they arrive, and how well they protect. It
// says what of a problem is left when something is asked beyond its rules, and finds every way that no other is better than in all
// three: the front. The planner that it asks comes in as an argument.
//
// Money is minor units of the problem's currency. Days are days of arrival, the latest that the service states.
package front

import (
	"cmp"
	"slices"

	"solander/calendar"
	"solander/packing"
)

// Measure is what parcels together are judged by.
type Measure struct {
	Money      int64        `json:"money"`
	Arrives    calendar.Day `json:"arrives,omitzero"` // of the last of them; no day = a service does not state it, which counts as the latest
	Protection              // of the least protected of them
}

// MeasureOf measures parcels that were planned for a problem.
func MeasureOf(p *packing.Problem, parcels []packing.Parcel) Measure {
	out := Measure{Protection: Protection{Boxed, Signed}}
	for i := range parcels {
		pc := &parcels[i]
		out.Money += pc.Cost
		out.Protection = out.worse(protectionOf(p, pc))
		if i == 0 || later(pc.Arrives, out.Arrives) {
			out.Arrives = pc.Arrives
		}
	}
	return out
}

// later reports whether a day of arrival is after another; none is after all.
func later(a, b calendar.Day) bool { return !b.IsZero() && (a.IsZero() || a.After(b)) }

// Beats reports whether a measure is worse than another in nothing and better in something.
func (m Measure) Beats(o Measure) bool {
	return m != o && m.Money <= o.Money && !later(m.Arrives, o.Arrives) && m.AtLeast(o.Protection)
}

// compare orders measures: the cheapest first, then the sooner, then the better protected.
func (m Measure) compare(o Measure) int {
	sooner := 0
	switch {
	case later(m.Arrives, o.Arrives):
		sooner = 1
	case later(o.Arrives, m.Arrives):
		sooner = -1
	}
	return cmp.Or(cmp.Compare(m.Money, o.Money), sooner, cmp.Compare(o.Steps(), m.Steps()), cmp.Compare(rank(Packagings(), o.Packaging), rank(Packagings(), m.Packaging)))
}

// Way is a way to send: what it measures, and what was asked to get it.
type Way struct {
	Measure
	Asked Demand
}

// Search finds the front: of each measure that no other beats, one way, the cheapest first. cheapest answers a demand with the measure
// of the cheapest way that keeps it; false when none does. days are the days on which something may arrive. A measure is on the front
// just when it is that of the cheapest way for some demand and no other such beats it; so each demand is asked, but for those of which the
// answer is known from a looser one. Faults: those of cheapest, at the first.
func Search(days []calendar.Day, cheapest func(Demand) (Measure, bool, error)) ([]Way, error) {
	bounds := append([]calendar.Day{{}}, days...)
	slices.SortFunc(bounds[1:], func(a, b calendar.Day) int { return b.Sub(a) })
	bounds = slices.Compact(bounds)
	var found []Way
	var none []Demand
	for _, by := range bounds {
		for _, p := range Packagings() {
			for _, c := range Cares() {
				d := Demand{by, Protection{p, c}}
				if slices.ContainsFunc(none, d.asksAll) || slices.ContainsFunc(found, func(w Way) bool { return d.asksAll(w.Asked) && d.kept(w.Measure) }) {
					continue
				}
				m, ok, err := cheapest(d)
				if err != nil {
					return nil, err
				}
				if ok {
					found = append(found, Way{m, d})
				} else {
					none = append(none, d)
				}
			}
		}
	}
	return best(found), nil
}

// best leaves the ways that no other beats, each measure once, sorted.
func best(found []Way) []Way {
	var out []Way
	for i, w := range found {
		if slices.ContainsFunc(found, func(o Way) bool { return o.Beats(w.Measure) }) || slices.ContainsFunc(found[:i], func(o Way) bool { return o.Measure == w.Measure }) {
			continue
		}
		out = append(out, w)
	}
	slices.SortStableFunc(out, func(a, b Way) int { return a.compare(b.Measure) })
	return out
}

// Sooner is the place on the front of the cheapest way that arrives a day or more before another; -1 when there is none.
func Sooner(ways []Way, than Measure) int {
	return slices.IndexFunc(ways, func(w Way) bool { return later(than.Arrives, w.Arrives) })
}

// Safer is the place on the front of the cheapest way that is a class stiffer or better covered than another, and worse in neither; -1
// when there is none.
func Safer(ways []Way, than Measure) int {
	return slices.IndexFunc(ways, func(w Way) bool { return w.Protection != than.Protection && w.AtLeast(than.Protection) })
}
