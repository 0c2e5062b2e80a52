package earnings

import (
	"testing"

	"solander/earned"
)

func TestAPageHasAnEnd(t *testing.T) {
	for rows, more := range map[int]int{0: 0, mostLines: 0, mostLines + 5: 5} {
		var p EarningsPage
		p.fill(asked{}, earned.Figures{Rows: make([]earned.Row, rows)})
		if len(p.Lines) != rows-more || p.More != more {
			t.Errorf("of %d rows %d are shown, and %d said to be more", rows, len(p.Lines), p.More)
		}
	}
}
