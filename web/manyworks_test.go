package web

import (
	"fmt"
	"testing"

	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/studio"
	"solander/supply"
)

// manyWorks is how many works, each with an edition and its sheets, a studio has of which no page is heavier than the bench may be.
const manyWorks = 1000

var manyWorksModel = &model{make: func(s *site) {
	s.furnish()
	s.crowd(160)
	s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error { // at once: by the use cases it takes a minute
		for i := range manyWorks {
			wk, err := tx.SaveWork(edition.Work{Title: fmt.Sprintf("Study of reeds, sheet %d", i+1), Year: 2020 + i%6})
			if err != nil {
				return err
			}
			e, err := tx.Declare(edition.Edition{
				Work: wk, Width: 8 * in, Height: 10 * in, Paper: "matt paper", Grammage: 230 * measure.GSM, Caliper: measure.Millimetre * 3 / 10, TightestRoll: 2 * in,
				Grade: "standard", Limit: 20, Price: money.Of(4000, "USD"), PrintCost: money.Of(400, "USD"), Declared: calendar.Date(2026, 1, 5),
			})
			if err != nil {
				return err
			}
			if err := tx.AddMove(supply.Move{Kind: supply.Sheets, Of: e, Delta: 3, Reason: "first count", Day: calendar.Date(2026, 1, 5)}); err != nil {
				return err
			}
		}
		return nil
	}))
}}

// TestPagesOfManyWorksStayLight weighs every page of a studio with a thousand works, pictures left out.
func TestPagesOfManyWorksStayLight(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes seconds: make test does")
	}
	s := manyWorksModel.copy(t)
	weighed := 0
	for _, path := range append(s.paths(), "/editions?from=501", "/drawer?from=501", "/sales/new?find=reeds", "/till?find=reeds", "/search?q=reeds") {
		p := s.get(path)
		if p.root == nil || p.status != 200 {
			continue
		}
		weighed++
		if n := len(p.body); n > mostOfBench {
			t.Errorf("%s has %d bytes, more than %d", path, n, mostOfBench)
		}
	}
	if weighed < 40 {
		t.Errorf("only %d pages were weighed", weighed)
	}
}
