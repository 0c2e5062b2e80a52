package catalogue

import (
	"testing"

	"solander/edition"
	"solander/studio"
)

// Worked by hand: a bar of 60 is the limit. One sold of many is seen, and so is one left.
func TestProgress(t *testing.T) {
	for _, tc := range []struct{ sold, limit, want int }{{0, 100, 0}, {1, 10_000, 1}, {50, 100, 30}, {9_999, 10_000, 59}, {100, 100, 60}, {7, 0, 0}} {
		l := editionLine{EditionRow: studio.EditionRow{Edition: edition.Edition{Limit: tc.limit}, Sold: tc.sold}}
		if got := l.Progress(); got != tc.want {
			t.Errorf("%d of %d sold: %d, want %d", tc.sold, tc.limit, got, tc.want)
		}
	}
}
