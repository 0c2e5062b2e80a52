package posted_test

import (
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fair"
	"solander/ledger"
	"solander/money"
	"solander/posted"
)

// Whatever a day took and cost, its entries balance, and what stands in the cash box is what was counted, less the float and what was carried to the bank.
func TestTheCashBoxIsWhatWasCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
		some := func(name string) money.Amount { return usd(rapid.Int64Range(0, 500_00).Draw(t, name)) }
		d := fair.Day{Outlet: 2, Day: calendar.Date(2031, 5, 10), Float: some("float"), Ended: rapid.Bool().Draw(t, "ended"), Counted: some("counted")}
		taken := fair.Takings{Currency: "USD", Cash: rapid.Int64Range(-100_00, 900_00).Draw(t, "cash"), Card: 7_00}
		var costs []fair.Cost
		box, fees := d.Float.Minor+taken.Cash, int64(0)
		for i := range rapid.IntRange(0, 3).Draw(t, "costs") {
			c := fair.Cost{ID: int64(i + 1), Kind: fair.Stall, Amount: usd(rapid.Int64Range(1, 90_00).Draw(t, "cost")), FromBox: rapid.Bool().Draw(t, "from the box"), Reversed: rapid.Bool().Draw(t, "reversed")}
			costs = append(costs, c)
			if !c.Reversed {
				fees += c.Amount.Minor
				if c.FromBox {
					box -= c.Amount.Minor
				}
			}
		}
		sums := map[string]int64{}
		parts := map[string]bool{}
		var carried []fair.Carry
		var posts []posted.Carried
		inIt := int64(0)
		opened := calendar.Day{}
		if rapid.Bool().Draw(t, "an opening balance") {
			opened = d.Day.Add(rapid.IntRange(-1, 3).Draw(t, "of the day"))
		}
		gone := int64(0)
		for i := range rapid.IntRange(0, 3).Draw(t, "carried") {
			c := fair.Carry{ID: int64(i + 1), Day: d.Day.Add(i), Amount: usd(rapid.Int64Range(1, 200_00).Draw(t, "to the bank")), Reversed: rapid.Bool().Draw(t, "back")}
			posts = append(posts, posted.Carried{Carry: c, Opened: opened})
			if carried = append(carried, c); !c.Reversed {
				gone += c.Amount.Minor
				if !opened.IsZero() && !c.Day.After(opened) { // the opening balance holds it
					inIt += c.Amount.Minor
				}
			}
		}
		for _, e := range posted.FairDay(d, taken, costs, posts) {
			if err := ledger.Balanced(e.Lines); err != nil || parts[e.Part] {
				t.Fatalf("%s: %v", e.Part, err)
			}
			parts[e.Part] = true
			for _, l := range e.Lines {
				sums[l.Account] += l.Amount.Minor
			}
		}
		want := box
		if d.Ended {
			want = d.Counted.Minor
		}
		if cash := d.Cash(taken, costs, carried); cash.Minor != want-d.Float.Minor-gone || sums[ledger.Bank] != gone-inIt || sums[ledger.Opening] != inIt {
			t.Fatalf("%s are still there, %d at the bank; want %d and %d", cash, sums[ledger.Bank], want-d.Float.Minor-gone, gone)
		}
		if sums[ledger.Cash] != want-d.Float.Minor-gone || sums[ledger.FairCosts] != fees || sums[ledger.AtOutlets] != -taken.Cash {
			t.Fatalf("%v, want %d in the box", sums, want-d.Float.Minor)
		}
		if d.Dropped = true; posted.FairDay(d, taken, costs, posts) != nil {
			t.Fatal("a day that was none is in the journal")
		}
	})
}
