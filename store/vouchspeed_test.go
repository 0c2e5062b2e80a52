package store

import (
	"path/filepath"
	"testing"

	"solander/internal/pgtest"
	"solander/store/digests"
)

// BenchmarkVouching takes sales over the table by the use cases, paid, signed and handed over, in turn into a studio that vouches for its rows by a key and one
// that has digests alone, in one process: what marks and sums take of a sale. The aim is a twentieth.
func BenchmarkVouching(b *testing.B) {
	places := map[string]func(b *testing.B, name string) (string, Options){
		"sqlite": func(b *testing.B, name string) (string, Options) {
			return filepath.Join(b.TempDir(), name+".db"), Options{}
		},
		"postgres": func(b *testing.B, _ string) (string, Options) {
			return pgtest.New(b), Options{RowKey: filepath.Join(b.TempDir(), "row-key")}
		},
	}
	for name, place := range places {
		b.Run(name, func(b *testing.B) {
			with, without := sellerAt(b, place, "vouching"), sellerAt(b, place, "bare")
			without.s.(*store).rows.Store(&digests.By{})
			n := 0
			for b.Loop() {
				n++
				both := []*seller{with, without}
				both[n%2].timed(b)
				both[1-n%2].timed(b)
			}
			b.ReportMetric(float64(middle(with.took).Microseconds())/1000, "vouched-median-ms")
			b.ReportMetric(100*(1-float64(middle(without.took))/float64(middle(with.took))), "%-of-the-sale")
			b.ReportMetric(float64(with.worked.Microseconds())/1000/float64(n), "vouched-processor-ms")
			b.ReportMetric(100*(1-float64(without.worked)/float64(with.worked)), "%-of-its-processor")
			if found := unmarked(b, with.s.(*store)); found != 0 || unmarked(b, without.s.(*store)) == 0 {
				b.Error("the one left a row without its mark, or the other none: nothing was compared")
			}
		})
	}
}

// unmarked is how many digests have no mark.
func unmarked(b *testing.B, s *store) (n int64) {
	b.Helper()
	if err := s.read(b.Context(), func(t *tx) error {
		_, err := t.conn.One(`SELECT count(*) FROM row_digests WHERE digest <> '' AND mark = ''`, nil, &n)
		return err
	}); err != nil {
		b.Fatal(err)
	}
	return n
}

func sellerAt(b *testing.B, place func(b *testing.B, name string) (string, Options), name string) *seller {
	at, opt := place(b, name)
	return newSellerBy(b, at, opt, false)
}
