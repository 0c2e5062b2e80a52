package journal_test

import (
	"slices"
	"testing"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/internal/bed"
	"solander/journal"
	"solander/ledger"
	"solander/studio"
)

// BenchmarkSale is a sale that is paid in part at once, with its entry in the journal.
func BenchmarkSale(b *testing.B) {
	s := bed.New(b)
	in := s.Sale()
	in.Lines = []book.SaleLine{{Edition: s.Card.ID}}
	in.Paid = bed.USD(5_00)
	for b.Loop() {
		if _, err := book.TakeOrder(s.Ctx, s.Studio, in); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkYear reads the trial balance of a year. The sums are kept by month, account, outlet and edition, so that it does not matter how many orders
// there were: here four outlets sold each of fifty editions in every month, which moves nine accounts; a hundred thousand orders make no more.
func BenchmarkYear(b *testing.B) {
	s := bed.New(b)
	accounts := []string{ledger.AtOutlets, ledger.Sales, ledger.PostageCharged, ledger.Tax, ledger.OutletFees, ledger.CostOfPrints, ledger.Sheets, ledger.PackagingUsed, ledger.PostagePaid}
	s.Must(s.Write(s.Ctx, func(t *studio.Turn) error {
		for month := range time.Month(12) {
			for place := range 4 * 50 {
				e := ledger.Entry{Day: calendar.Date(2025, month+1, 5), Subject: ledger.Subject{Kind: "year", ID: int64(place)}}
				for i, a := range accounts {
					e.Lines = append(e.Lines, ledger.Line{Account: a, Amount: bed.USD(int64(100 * (i - 4))), Refs: ledger.Refs{Outlet: int64(1 + place/50), Edition: int64(1 + place%50)}})
				}
				e.Lines = slices.DeleteFunc(e.Lines, func(l ledger.Line) bool { return l.Amount.IsZero() })
				if err := t.Tx.Enter(e); err != nil {
					return err
				}
			}
		}
		return nil
	}))
	year := journal.Span{From: calendar.Date(2025, 1, 1), To: calendar.Date(2025, 12, 31)}
	for b.Loop() {
		if got, err := journal.Balance(s.Ctx, s.Studio, year); err != nil || len(got.Rows) != 8 {
			b.Fatalf("%v %v", got.Rows, err)
		}
	}
}
