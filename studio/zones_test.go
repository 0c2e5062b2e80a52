package studio_test

import (
	"slices"
	"testing"

	"solander/calendar"
	"solander/packing"
	"solander/studio"
	"solander/tariff/cards"
)

// A studio far from the bundled chart's origin plans by estimated zones and is told so; one at the
// chart's origin plans by the chart.
// Source of the chart: USPS domestic zone chart for origin 240; of the bands: 67 FR 20644.
func TestZonesAreEstimatedOnlyWithoutAChart(t *testing.T) {
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		postcode, region, zone string
		estimated              bool
	}{{"97201", "OR", "8", true}, {"24060", "VA", "1", false}} {
		b := empty(t)
		b.clock.set(2025, 11, 5)
		b.Studio = studio.New(b.open(b.path), studio.Options{Clock: b.clock.Now, Cards: all, Zones: cards.Estimated})
		in := firstStudio(b.Studio)
		in.Settings.Address.Postcode, in.Settings.Address.Region = c.postcode, c.region
		b.setUp(in)
		v := b.ready(b.heron.ID)
		plan, err := b.Plan(b.ctx, v.ID, calendar.Day{})
		b.must(err)
		if plan.Plan.Status != packing.Optimal || plan.Plan.Parcels[0].Zone != c.zone {
			t.Fatalf("from %s: %s, %+v", c.postcode, plan.Plan.Status, plan.Plan.Parcels)
		}
		warned := slices.ContainsFunc(plan.Plan.Warnings, func(w packing.Warning) bool { return w.Code == "zone.estimated" })
		if warned != c.estimated {
			t.Errorf("from %s: warned %v of an estimated zone, want %v", c.postcode, warned, c.estimated)
		}
	}
}
