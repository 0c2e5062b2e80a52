package journal_test

import (
	"testing"

	"solander/book"
	"solander/internal/bed"
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
