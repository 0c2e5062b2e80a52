package planning_test

import (
	"slices"
	"testing"

	"solander/calendar"
	"solander/internal/bed"
	"solander/packing"
	"solander/planning"
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
		b := bed.Empty(t)
		b.Clock.Set(2025, 11, 5)
		b.Studio = studio.New(b.Open(b.Path), studio.Options{Clock: b.Clock.Now, Cards: studio.Given(all), Zones: cards.Estimated})
		in := bed.FirstStudio()
		in.Settings.Address.Postcode, in.Settings.Address.Region = c.postcode, c.region
		b.SetUp(in)
		v := b.Ready(b.Heron.ID)
		plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
		b.Must(err)
		if plan.Plan.Status != packing.Optimal || plan.Plan.Parcels[0].Zone != c.zone {
			t.Fatalf("from %s: %s, %+v", c.postcode, plan.Plan.Status, plan.Plan.Parcels)
		}
		warned := slices.ContainsFunc(plan.Plan.Warnings, func(w packing.Warning) bool { return w.Code == "zone.estimated" })
		if warned != c.estimated {
			t.Errorf("from %s: warned %v of an estimated zone, want %v", c.postcode, warned, c.estimated)
		}
	}
}
