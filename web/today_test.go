package web

import (
	"testing"

	"solander/stockroom"
)

// A run brings the sheets of several orders in one deed: it is one row of the bench, which names all that wait for it, and says of each
// by when it was promised where the row opens.
func TestBenchHasOneRowARun(t *testing.T) {
	s := newSite(t)
	s.must(stockroom.CountSheets(s.ctx(), s.studio, 1, 0, "damp"))
	first, second := s.sale(1, 9000), s.sale(1, 9000)
	s.run(1, 2)
	third := s.sale(1, 9000) // for whom nothing is ordered
	rows := s.get("/").is(200)
	rows.has("#sheets h2", "3")
	if n := len(rows.find("#sheets .task")); n != 2 {
		t.Errorf("%d rows, not one of the run and one to order", n)
	}
	rows.has("#sheets .task .who", first.Mark+" , "+second.Mark)
	for _, o := range []string{first.Mark, second.Mark} {
		rows.has("#sheets .task a[href=/orders/"+o+"]", o)
		rows.has("#sheets .task .inside li", o)
	}
	rows.hasNot("#sheets .task a[href=/orders/" + third.Mark + "]")
}
