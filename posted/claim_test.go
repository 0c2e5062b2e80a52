package posted_test

import (
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/claim"
	"solander/ledger"
	"solander/posted"
)

// All worked by hand: a print of 14.50, packaging of 2.00 and postage of 9.25 are 25.75.
func TestClaims(t *testing.T) {
	base := claim.Claim{Order: 4, Kind: claim.Lost, Lines: []int64{1}, State: claim.Filed, Claimed: usd(100_00), Granted: usd(0), Paid: usd(0)}
	losses := []claim.Loss{{Order: 4, Line: 1, Edition: 9, Outlet: 2, Print: usd(14_50), Packing: usd(2_00), Postage: usd(9_25)}}
	given := map[string]int64{ledger.ClaimLosses: 25_75, ledger.CostOfPrints: -14_50, ledger.PackagingUsed: -2_00, ledger.PostagePaid: -9_25}
	with := func(more map[string]int64) map[string]int64 {
		out := maps.Clone(given)
		for k, n := range more {
			out[k] += n
		}
		return out
	}
	for name, c := range map[string]struct {
		change func(*claim.Claim)
		want   map[string]int64
	}{
		"told and filed":      {func(*claim.Claim) {}, map[string]int64{}},
		"replaced":            {func(c *claim.Claim) { c.Made, c.Losses = claim.Replaced, losses }, given},
		"paid back":           {func(c *claim.Claim) { c.Made, c.Losses = claim.PaidBack, losses }, given},
		"the buyer keeps it":  {func(c *claim.Claim) { c.Made, c.Losses = claim.Kept, losses }, map[string]int64{}},
		"it arrived":          {func(c *claim.Claim) { c.Made, c.State = claim.Arrived, claim.Closed }, map[string]int64{}},
		"granted":             {func(c *claim.Claim) { c.State, c.Granted = claim.Granted, usd(60_00) }, map[string]int64{ledger.Claims: 60_00, ledger.ClaimLosses: -60_00}},
		"refused":             {func(c *claim.Claim) { c.State = claim.Refused }, map[string]int64{}},
		"paid":                {func(c *claim.Claim) { c.State, c.Granted, c.Paid = claim.Paid, usd(60_00), usd(60_00) }, map[string]int64{ledger.AtOutlets: 60_00, ledger.ClaimLosses: -60_00}},
		"a part is still due": {func(c *claim.Claim) { c.State, c.Granted, c.Paid = claim.Paid, usd(60_00), usd(50_00) }, map[string]int64{ledger.AtOutlets: 50_00, ledger.Claims: 10_00, ledger.ClaimLosses: -60_00}},
		"closed without it": {func(c *claim.Claim) {
			c.State, c.Granted, c.Paid, c.Made, c.Losses = claim.Closed, usd(60_00), usd(50_00), claim.Replaced, losses
		}, with(map[string]int64{ledger.AtOutlets: 50_00, ledger.ClaimLosses: -50_00})},
		"noted wrongly": {func(c *claim.Claim) {
			c.State, c.Granted, c.Made, c.Losses = claim.Void, usd(60_00), claim.Replaced, losses
		}, map[string]int64{}},
	} {
		x := base
		c.change(&x)
		if got := sums(t, posted.Claim(x, prints)); !maps.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", name, got, c.want)
		}
	}
}

// However a claim stands: every event balances, no two have one part, and when it is closed nothing is owed by the operator any more.
func TestClaimsBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := claim.Claim{
			Order: 4, Kind: rapid.SampledFrom(claim.Kinds()).Draw(t, "kind"),
			State: rapid.SampledFrom([]claim.State{claim.Told, claim.Filed, claim.Granted, claim.Refused, claim.Paid, claim.Closed, claim.Void}).Draw(t, "state"),
			Made:  rapid.SampledFrom([]claim.Made{"", claim.Replaced, claim.PaidBack, claim.Kept, claim.Arrived}).Draw(t, "made"),
		}
		c.Granted = usd(rapid.Int64Range(0, 9_999).Draw(t, "granted"))
		c.Paid = usd(rapid.Int64Range(0, c.Granted.Minor).Draw(t, "paid"))
		for i := range rapid.IntRange(0, 3).Draw(t, "losses") {
			n := func(what string) int64 { return rapid.Int64Range(0, 5_000).Draw(t, what) }
			c.Losses = append(c.Losses, claim.Loss{Line: int64(i + 1), Print: usd(n("print")), Packing: usd(n("packing")), Postage: usd(n("postage"))})
		}
		events := posted.Claim(c, prints)
		got := sums(t, events)
		var parts []string
		for _, e := range events {
			parts = append(parts, e.Part)
		}
		if slices.Sort(parts); len(slices.Compact(parts)) != len(events) {
			t.Errorf("two events have one part: %v", parts)
		}
		if !c.Open() && got[ledger.Claims] != 0 {
			t.Errorf("%d is still owed by the operator", got[ledger.Claims])
		}
		if c.State != claim.Void && got[ledger.AtOutlets] != c.Paid.Minor {
			t.Errorf("%d came in, %s was paid", got[ledger.AtOutlets], c.Paid)
		}
	})
}
