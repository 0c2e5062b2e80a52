package check

import (
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/packing"
	"solander/packing/check/rates"
	"solander/tariff"
)

// Warnings are those that a plan with these parcels must give, ascending by card and code, texts empty.
// Source: docs/formats/plan.md, section 7.
func (r *Reckoner) Warnings(parcels []packing.Parcel) []packing.Warning {
	seen := map[packing.Warning]bool{}
	for i := range parcels {
		p := &parcels[i]
		offer, unknown := r.offer(p.Card, p.Service)
		if unknown != nil {
			continue
		}
		warn := func(code string, when bool) {
			if when {
				seen[packing.Warning{Code: code, Card: p.Card}] = true
			}
		}
		warn("card.ended", ended(offer.card, r.problem.Day))
		warn("card.old", offer.card.To.IsZero() && r.problem.Day.Sub(offer.card.From) > 366)
		warn("card.status", slices.ContainsFunc(p.Lines, func(l tariff.Line) bool {
			return l.OfCard() && l.Status != "primary"
		}))
		if order := r.orders[p.Order]; order != nil {
			z, _ := rates.Find(offer.card, offer.service, r.problem.Origin, order.Destination)
			warn("zone.estimated", z.Table != nil && z.Table.Status == "estimated")
		}
	}
	var out []packing.Warning
	for w := range seen {
		out = append(out, w)
	}
	slices.SortFunc(out, compareWarnings)
	return out
}

func ended(c *tariff.Card, day calendar.Day) bool { return !c.To.IsZero() && day.After(c.To) }

func compareWarnings(a, b packing.Warning) int {
	if c := strings.Compare(a.Card, b.Card); c != 0 {
		return c
	}
	return strings.Compare(a.Code, b.Code)
}

// warnings compares the plan's warnings, in any order, with those it must give.
func (a *audit) warnings() {
	want := a.reckoner.Warnings(a.plan.Parcels)
	found := slices.Clone(a.plan.Warnings)
	slices.SortStableFunc(found, compareWarnings)
	same(a, "warnings", "plan.warnings", len(want), len(found))
	for i := range found {
		if found[i].Text == "" {
			a.finding("warnings", "plan.warnings", "%s of card %q is not told in words", found[i].Code, found[i].Card)
		}
		found[i].Text = ""
	}
	for i := range min(len(want), len(found)) {
		same(a, fmt.Sprintf("warnings (%d by card and code)", i), "plan.warnings", want[i], found[i])
	}
}
