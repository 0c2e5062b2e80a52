package planner_test

import (
	"context"
	"encoding/json"
	"os"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/packing"
	"solander/tariff"
)

var sameDay = cmp.Comparer(func(a, b calendar.Day) bool { return a == b })

func readProblem(t *testing.T, file string) packing.Problem {
	t.Helper()
	f, err := os.Open("../../docs/formats/examples/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := packing.ReadProblem(f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// remembered are the plans of this package's tests by their problem: several tests ask for the long ones.
var remembered sync.Map // the problem as JSON → packing.Plan

// plan plans a problem, or finds the plan that a test before it got for the same one: a plan is a pure function of its problem, as
// TestSameBytes holds. Nobody changes it.
func plan(t *testing.T, p packing.Problem) packing.Plan {
	t.Helper()
	key, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	if known, ok := remembered.Load(string(key)); ok {
		return known.(packing.Plan)
	}
	out := planWith(t, context.Background(), p)
	remembered.Store(string(key), out)
	return out
}

// The numbers are those worked out by hand in docs/formats/plan.md, section 8.
func TestTheExampleWorkedByHand(t *testing.T) {
	got := plan(t, readProblem(t, "one-print.json"))
	inv := func(rule, what, text string, amount int64) tariff.Line {
		return tariff.Line{Rule: rule, What: what, Text: text, Count: 1, Amount: amount, Source: "invented for this page", Status: "invented"}
	}
	own := func(rule, what, text string, amount int64) tariff.Line {
		return tariff.Line{Rule: rule, What: what, Text: text, Count: 1, Amount: amount}
	}
	arrives, _ := calendar.ParseDay("2025-11-08")
	want := []packing.Parcel{{
		Order: "S-1", Contents: []packing.Content{{Order: "S-1", Sheet: "heron", Copies: 1}}, Wrap: "flat", Shape: packing.Flat,
		Layers: []packing.LayerPlan{{Layer: 0, Kind: packing.Sleeve, Item: "film-11x14", Count: 1, Sheet: "heron"}, {Layer: 1, Kind: packing.Envelope, Item: "mailer-12x15", Count: 1}},
		Form:   tariff.Box, Stiff: true, Size: packing.Size{Length: 394_900_000, Width: 318_700_000, Height: 1_808_000},
		Mass: 139_799_938_400, Value: 9000, Card: "example-2025", Service: "parcel", Class: "parcel", Zone: "far", Billed: 139_799_938_400, Cover: 9000,
		Lines: []tariff.Line{
			own("packaging", "film-11x14", "sleeve film-11x14", 22), own("packaging", "mailer-12x15", "envelope mailer-12x15", 95), own("work", "flat", "packing", 180),
			inv("postage", "parcel", "Parcel, zone far, up to 8 oz", 640), inv("cover", "parcel", "cover for 90.00 USD", 340),
		},
		Cost: 1277, DaysMin: new(2), DaysMax: new(5), Arrives: arrives,
	}}
	if d := cmp.Diff(want, got.Parcels, sameDay); d != "" {
		t.Error(d)
	}
	if got.Status != packing.Optimal || got.Total != 1277 || got.Bound != 1277 || got.Held != 0 {
		t.Errorf("%s, total %d, bound %d, held %d", got.Status, got.Total, got.Bound, got.Held)
	}
	wantOut := []packing.Rejected{{
		Order: "S-1", Wrap: "flat", Items: []string{"film-11x14", "mailer-12x15"}, Card: "example-2025", Service: "large-letter", Looks: 787,
		Reason: packing.Reason{Rule: "service.flexible", Text: "Large letter takes only what bends; the parcel is stiff"},
	}}
	if d := cmp.Diff(wantOut, got.Rejected); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]packing.Use{{Item: "film-11x14", Count: 1}, {Item: "mailer-12x15", Count: 1}}, got.StockUsed); d != "" {
		t.Error(d)
	}
}
