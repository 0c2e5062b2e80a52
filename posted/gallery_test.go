package posted_test

import (
	"testing"

	"solander/calendar"
	"solander/consign"
	"solander/ledger"
	"solander/money"
	"solander/posted"
)

// Source: worked by hand from the consignment example of the trade facts, section 5: sales 1 500 000 less 150 000 and 16 000 are owed.
func TestTheConsignmentExampleInTheJournal(t *testing.T) {
	usd := func(n int64) money.Amount { return money.Of(n, "USD") }
	went := calendar.Date(2025, 3, 1)
	sums := map[string]int64{}
	enter := func(events []ledger.Event) {
		for _, e := range events {
			if err := ledger.Balanced(e.Lines); err != nil {
				t.Fatal(err)
			}
			for _, l := range e.Lines {
				sums[l.Account] += l.Amount.Minor
			}
		}
	}
	for i := range 20 {
		p := consign.Print{Price: usd(100_000_00), Share: 100, Bears: consign.Artist, Went: went, State: consign.Out, Sold: usd(0), Kept: usd(0)}
		if i < 15 {
			var err error
			if p, err = p.SoldFor(p.Price, went); err != nil {
				t.Fatal(err)
			}
		}
		enter(posted.Consigned(p, 3, usd(60_000_00)))
	}
	enter(posted.GalleryMoney(consign.Money{Kind: consign.Costs, Amount: usd(16_000_00)}, 3))
	enter(posted.GalleryMoney(consign.Money{Kind: consign.Freight, Amount: usd(10_000_00)}, 3))
	enter(posted.GalleryMoney(consign.Money{Kind: consign.Paid, Amount: usd(7), Reversed: true}, 3))
	for account, want := range map[string]int64{
		ledger.Galleries: 1_334_000_00, ledger.GallerySales: -1_500_000_00, ledger.GalleryShare: 166_000_00, ledger.CostOfPrints: 900_000_00,
		ledger.Consigned: -900_000_00, ledger.PostagePaid: 10_000_00, ledger.Postal: -10_000_00,
	} {
		if sums[account] != want {
			t.Errorf("%s: %d, want %d", account, sums[account], want)
		}
	}
	lost, err := consign.Print{Price: usd(100), Bears: consign.Artist, Went: went, State: consign.Out, Sold: usd(0), Kept: usd(0)}.WasLost(went, "water")
	if err != nil {
		t.Fatal(err)
	}
	sums = map[string]int64{}
	enter(posted.Consigned(lost, 3, usd(30)))
	if sums[ledger.Spoilt] != 30 || sums[ledger.Galleries] != 0 {
		t.Errorf("lost, and the artist bears it: %v", sums)
	}
}
