package check_test

import (
	"os"
	"strings"
	"testing"

	"solander/calendar"
	"solander/fault"
	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// worked is the answer to docs/formats/examples/one-print.json, as plan.md, section 8, works it out by
// hand.
func worked(t *testing.T) (packing.Problem, packing.Plan) {
	t.Helper()
	f, err := os.Open("../../docs/formats/examples/one-print.json")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	problem, err := packing.ReadProblem(f)
	if err != nil {
		t.Fatal(err)
	}
	tenth := measure.Millimetre / 10
	line := func(rule, what string, amount int64) tariff.Line {
		l := tariff.Line{Rule: rule, What: what, Count: 1, Amount: amount}
		if rule == "postage" || rule == "cover" {
			l.Source, l.Status = "invented for this page", "invented"
		}
		return l
	}
	parcel := packing.Parcel{
		Order: "S-1", Contents: []packing.Content{{Order: "S-1", Sheet: "heron", Copies: 1}}, Wrap: "flat", Shape: packing.Flat,
		Layers: []packing.LayerPlan{
			{Layer: 0, Kind: packing.Sleeve, Item: "film-11x14", Count: 1, Sheet: "heron"},
			{Layer: 1, Kind: packing.Envelope, Item: "mailer-12x15", Count: 1},
		},
		Form: tariff.Box, Stiff: true, Size: tariff.Size{Length: 3949 * tenth, Width: 3187 * tenth, Height: 1808 * measure.Micrometre},
		Mass: 139_799_938_400, Value: 9000, Card: "example-2025", Service: "parcel", Class: "parcel", Zone: "far",
		Billed: 139_799_938_400, Cover: 9000,
		Lines: []tariff.Line{
			line("packaging", "film-11x14", 22), line("packaging", "mailer-12x15", 95), line("work", "flat", 180),
			line("postage", "parcel", 640), line("cover", "parcel", 340),
		},
		Cost: 1277, DaysMin: new(2), DaysMax: new(5), Arrives: calendar.Date(2025, 11, 8),
	}
	return problem, packing.Plan{
		Format: packing.PlanFormat, Status: packing.Optimal, Currency: "USD", Day: calendar.Date(2025, 11, 3), Total: 1277, Bound: 1277,
		Orders:    []packing.OrderPlan{{ID: "S-1", Status: packing.Optimal, Total: 1277, Bound: 1277, Parcels: 1}},
		Parcels:   []packing.Parcel{parcel},
		StockUsed: []packing.Use{{Item: "film-11x14", Count: 1}, {Item: "mailer-12x15", Count: 1}},
		Rejected: []packing.Rejected{{
			Order: "S-1", Wrap: "flat", Items: []string{"film-11x14", "mailer-12x15"}, Card: "example-2025", Service: "large-letter", Looks: 787,
			Reason: packing.Reason{Rule: "service.flexible", Text: "the envelope is stiff"},
		}},
		Warnings: []packing.Warning{{Code: "card.status", Card: "example-2025", Text: "prices are invented"}},
	}
}

func TestPlanWorkedByHandIsRight(t *testing.T) {
	problem, plan := worked(t)
	if err := check.Plan(problem, plan); err != nil {
		t.Fatal(err)
	}
}

// The hand-worked answer is also what trying everything finds.
func TestTryingEverythingFindsThePlanWorkedByHand(t *testing.T) {
	problem, plan := worked(t)
	best := brute.New(&problem).Plan()
	if best.Total != plan.Total || len(best.Parcels) != 1 || best.Parcels[0].Service != "parcel" || check.Plan(problem, best) != nil {
		t.Errorf("the best plan is %+v", best)
	}
}

func TestFindingsNamePathRuleAndNumbers(t *testing.T) {
	problem, plan := worked(t)
	plan.Parcels[0].Lines[3].Amount = 510 // the price of the zone near
	plan.Parcels[0].Mass--
	plan.Rejected[0].Reason = packing.Reason{Rule: "limit.length", Text: "too long", Got: 394_900_000, Limit: 381_000_000, Unit: "nm"}
	var got []string
	for _, f := range fault.All(check.Plan(problem, plan)) {
		if f.Code != fault.Invalid {
			t.Errorf("%v is %s", f, f.Code)
		}
		got = append(got, f.Field+" "+f.What)
	}
	for _, want := range []string{
		"parcels[0].mass plan.mass: expected 139799938400, found 139799938399",
		"parcels[0].lines[3] plan.lines: expected",
		"rejected[0].reason plan.rejected: flat by \"large-letter\": no cut and axis gives limit.length",
	} {
		found := false
		for _, g := range got {
			found = found || strings.HasPrefix(g, want)
		}
		if !found {
			t.Errorf("no finding %q among\n%s", want, strings.Join(got, "\n"))
		}
	}
	if len(got) != 3 {
		t.Errorf("%d findings, want 3", len(got))
	}
}

func TestUnprovenPlanMayHaveALowerBound(t *testing.T) {
	problem, plan := worked(t)
	plan.Status, plan.Bound = packing.NotProven, 1200
	plan.Orders[0].Status, plan.Orders[0].Bound = packing.NotProven, 1200
	if err := check.Plan(problem, plan); err != nil {
		t.Error(err)
	}
	for name, spoil := range map[string]func(){
		"a bound above the total":                     func() { plan.Bound = 1278 },
		"a bound below nothing":                       func() { plan.Bound = -1 },
		"an unproven order in a plan that is optimal": func() { plan.Status, plan.Bound = packing.Optimal, plan.Total },
	} {
		plan.Status, plan.Bound = packing.NotProven, 1200
		spoil()
		if check.Plan(problem, plan) == nil {
			t.Errorf("%s passes", name)
		}
	}
}

// An order that was not finished before the computation was stopped is not proven, and held by no other
// reason.
func TestOrderNotFinished(t *testing.T) {
	problem, plan := worked(t)
	plan = packing.Plan{
		Format: plan.Format, Status: packing.NotProven, Currency: plan.Currency, Day: plan.Day, Held: 1,
		Orders: []packing.OrderPlan{{ID: "S-1", Status: packing.NotProven}},
	}
	for rule, right := range map[string]bool{"plan.stopped": true, "plan.unfound": true, "sheet.roll": false} {
		plan.Orders[0].Reason = &packing.Reason{Rule: rule, Text: "it is held"}
		if err := check.Plan(problem, plan); (err == nil) != right {
			t.Errorf("held by %s: %v", rule, err)
		}
	}
}
