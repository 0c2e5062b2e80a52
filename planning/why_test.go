package planning_test

import (
	"strings"
	"testing"

	"solander/calendar"
	"solander/dayplan"
	"solander/internal/bed"
	"solander/packing"
	"solander/planning"
)

// A plan in words has every line of its cost with its rule, names for keys, and each option that looks
// cheaper with the rule it breaks first.
func TestWhy(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Heron.ID)
	plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	why := plan.Why()
	if len(why.Orders) != 1 || len(why.Orders[0].Parcels) != 1 {
		t.Fatalf("%+v", why)
	}
	p := why.Orders[0].Parcels[0]
	sum := int64(0)
	for _, l := range p.Lines {
		sum += l.Amount.Minor
		if l.Rule == "" || l.Text == "" {
			t.Errorf("a line without rule or words: %+v", l)
		}
	}
	if sum != 628 || why.Total != bed.USD(628) || p.Cost != bed.USD(628) || why.Proof != "proven: nothing allowed costs less" {
		t.Errorf("lines of %d, %s, %s, %s", sum, why.Total, p.Cost, why.Proof)
	}
	if !strings.HasSuffix(p.Text, ", by Test ground") || len(p.Prints) != 1 || p.Prints[0] != "1/5 Heron at dusk" {
		t.Errorf("%q holds %q", p.Text, p.Prints)
	}
	if len(p.Rejected) == 0 || len(p.Rejected) != len(plan.Plan.Rejected) {
		t.Fatalf("%d of %d options that look cheaper", len(p.Rejected), len(plan.Plan.Rejected))
	}
	for i, r := range p.Rejected {
		if r.Looks.Minor >= 628 || r.Rule != plan.Plan.Rejected[i].Reason.Rule || strings.Contains(r.Reason, plan.Plan.Rejected[i].Items[0]+":") {
			t.Errorf("%+v", r)
		}
	}
}

// The bound of an answer that is not proven is told in words, with what at most could be saved.
func TestProofInWords(t *testing.T) {
	parcels := []packing.Parcel{{}}
	for want, plan := range map[string]packing.Plan{
		"proven: nothing allowed costs less":                                               {Status: packing.Optimal, Parcels: parcels},
		"not proven: no plan costs less than 9.50 USD, so at most 0.75 USD could be saved": {Status: packing.NotProven, Currency: "USD", Total: 1025, Bound: 950, Parcels: parcels},
		"not proven: no way was found in time":                                             {Status: packing.NotProven},
		"nothing can go":                                                                   {Status: packing.Infeasible},
	} {
		if got := dayplan.ProofOf(plan); got != want {
			t.Errorf("%s: %q, want %q", plan.Status, got, want)
		}
	}
}
