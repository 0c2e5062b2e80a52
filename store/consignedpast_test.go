package store

import (
	"testing"

	"solander/consign"
	"solander/consigning"
	"solander/house"
	"solander/journal"
	"solander/ledger"
	"solander/studio"
	"solander/tariff/cards"
)

// Four sheets that cost 14.50, 30, 50 and 70 went to a gallery; the first came back, and an earlier edition of the program gave back the cost of the
// last; the third was sold. By hand: what lies there cost 30 and 70, and once both came back it is nothing; the four cost 164.50, whatever came of
// them, of which 150 lie in the drawer.
func TestMixedUpCostsOfAnOlderStudio(t *testing.T) {
	const form = 39
	file := asFile(t, olderCalled(t, form, "-galleries"))
	for engine, place := range map[string]string{"PostgreSQL": asDatabase(t, form, file), "SQLite": file} {
		t.Run(engine, func(t *testing.T) {
			st := studio.New(openedWith(t, place, Options{Copies: t.TempDir(), There: true}), studio.Options{Cards: cards.All})
			stands := func(consigned, drawer, sold int64) {
				t.Helper()
				got := map[string]int64{}
				err := st.Read(t.Context(), func(tx *studio.Turn) error {
					sums, err := tx.Tx.Sums("", "")
					for _, s := range sums {
						if s.Edition == 3 {
							got[s.Account] += s.Amount.Minor
						}
					}
					return err
				})
				if err != nil {
					t.Fatal(err)
				}
				if got[ledger.Consigned] != consigned || got[ledger.Sheets] != drawer || got[ledger.CostOfPrints] != sold {
					t.Errorf("consigned %d, in the drawer %d, sold %d; want %d, %d, %d", got[ledger.Consigned], got[ledger.Sheets], got[ledger.CostOfPrints], consigned, drawer, sold)
				}
			}
			stands(100_00, 70_00, -5_50)
			for _, id := range []int64{2, 4} {
				if _, err := consigning.End(t.Context(), st, consigning.EndIn{Print: id, State: consign.Back}); err != nil {
					t.Fatal(err)
				}
			}
			stands(0, 150_00, 14_50)
			b, err := journal.Balance(t.Context(), st, journal.Span{})
			if err != nil {
				t.Fatal(err)
			}
			for _, sum := range b.Totals {
				if sum.Debit != sum.Credit {
					t.Errorf("the debits are %d, the credits %d", sum.Debit, sum.Credit)
				}
			}
			found, err := house.Check(t.Context(), st)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range found {
				t.Errorf("%s: %s", f.Where, f.What)
			}
		})
	}
}
