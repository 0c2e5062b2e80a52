package web

import (
	"fmt"
	"testing"

	"solander/intake"
	"solander/internal/browsertest"
	"solander/movein"
)

// heapedBook names several prints in one cell, lacks outlets, and has a column that the saved reading does not know.
const heapedBook = `Date,Who,Picture,Price,Courier
2025-03-14,Edda Quill,Reeds 12x16 in 17/80,95.00,van
2025-03-15,Odo Marsh,Salt and Smoke,80.00,
2025-03-16,Tam Reed,Ash & Ember,80.00,
2025-03-17,Nell Vane,Kiln door ajar 12x16 in 3/40 + Low tide 8x10 in 7/90,120.00,
`

// known is the reading that was saved before the column came.
func (s *site) known() intake.Mapping {
	s.t.Helper()
	m := intake.Mapping{Format: intake.MappingFormat, Name: "week by week", Currency: "USD", Outlet: "In person", Country: "US", Sheets: []intake.SheetMap{{Header: 1, Columns: []intake.Column{
		{Column: 0, Heading: "Date", Field: intake.SoldOn}, {Column: 1, Heading: "Who", Field: intake.Buyer}, {Column: 2, Heading: "Picture", Field: intake.Title}, {Column: 3, Heading: "Price", Field: intake.Price},
	}}}}
	s.must(movein.SaveMapping(s.ctx(), s.studio, m))
	return m
}

// A saved reading that meets a new column asks what it is, before anything else; several prints in one cell are asked about on the trial.
func TestSeveralPrintsAndNewColumns(t *testing.T) {
	t.Parallel()
	for _, size := range []string{"desk", "phone"} {
		t.Run(size, func(t *testing.T) {
			s := newSite(t)
			p, base := s.open()
			if size == "phone" {
				p.Phone()
			}
			look := func(name string) { fits(t, p, "several-"+name, size) }
			m := s.known()
			a, err := movein.Arrive(s.ctx(), s.studio, movein.ArriveIn{Name: "week.csv", Body: []byte(heapedBook)})
			s.must(err)
			p.Go(fmt.Sprintf("%s/intake/%d", base, a.ID))
			if got := p.Text("#new-columns"); got != "The saved reading does not know 1 column of this file: Courier. Say below what it is, or that it is not used." {
				t.Errorf("of the new column it says %q", got)
			}
			look("reading")
			s.must(movein.Decide(s.ctx(), s.studio, a.ID, m))
			p.Go(fmt.Sprintf("%s/intake/%d/trial", base, a.ID))
			for _, id := range []string{"a.prints:*", "a.prints:salt and smoke", "a.prints:ash & ember", "a.column::courier", "a.declare.*.paper", "confirm-all"} {
				if !browsertest.Eval[bool](p, fmt.Sprintf(`document.querySelector(%q) !== null`, `[name="`+id+`"]`)) {
					t.Errorf("the trial does not ask %s", id)
				}
			}
			look("trial")
			s.must(movein.Answer(s.ctx(), s.studio, a.ID, intake.Answers{"prints:*": "whole", "column:*": "unused", "declare.*.paper": "cotton rag"}))
			p.Go(fmt.Sprintf("%s/intake/%d/trial", base, a.ID))
			look("answered")
		})
	}
}

// One tick confirms every limit that stands beside it, and none that is empty.
func TestAllLimitsAreConfirmedAtOnce(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	m := s.known()
	a, err := movein.Arrive(s.ctx(), s.studio, movein.ArriveIn{Name: "week.csv", Body: []byte(heapedBook)})
	s.must(err)
	s.must(movein.Decide(s.ctx(), s.studio, a.ID, m))
	path := fmt.Sprintf("/intake/%d", a.ID)
	s.post(path+"/answers", "a.x.limit", "40", "limit-of.one", "x.limit", "a.y.limit", "", "limit-of.two", "y.limit", "confirm-all", "1")
	got, _, err := movein.Arrival(s.ctx(), s.studio, a.ID)
	s.must(err)
	if got.Answers["declare.one.confirm"] != "40" || got.Answers["declare.two.confirm"] != "" {
		t.Errorf("confirmed: %v", got.Answers)
	}
}
