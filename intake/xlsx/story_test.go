package xlsx

import (
	"fmt"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/intake"
	"solander/intake/guess"
	"solander/intake/proposal"
)

// From a workbook of a general office program to orders, by the mapping that docs/formats shows.
func TestFromWorkbookToOrders(t *testing.T) {
	table := workbook(t, "sales.xlsx")
	b, err := os.ReadFile("../../docs/formats/examples/mapping-workbook.json")
	if err != nil {
		t.Fatal(err)
	}
	m, err := intake.ReadMapping(b)
	if err != nil {
		t.Fatal(err)
	}
	matches := guess.Offer(table, []intake.Mapping{m})
	if len(matches) != 1 || !matches[0].Whole {
		t.Fatalf("offered %+v", matches)
	}
	guess := guess.New(table).Mapping.Sheets[0]
	for i, c := range m.Sheets[0].Columns {
		if guess.Columns[i].Field != c.Field && c.Field != intake.Unused {
			t.Errorf("column %s is guessed to be %q, want %q", c.Heading, guess.Columns[i].Field, c.Field)
		}
	}
	answers := intake.Answers{"fill:#B4C7DC": "sent", "fill:#E0C2CD": "nothing", "fill:#FFA6A6": "nothing"}
	r, err := proposal.Read(intake.Input{Table: table, Mapping: matches[0].Mapping, Answers: answers})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range r.Proposals {
		l := p.Lines[0]
		got = append(got, fmt.Sprintf("%s %s, %s %s, %s, %s, %d facts", p.Status, p.Placed, r.Buyers[p.Buyer].Buyer.Name, r.Editions[l.Edition].Title, l.Number, l.Price.Plain(), len(p.Facts)))
	}
	want := []string{
		"asked 2025-03-04, Edda Quill Heron at dusk, 17, 1250.50, 2 facts", // the colour says sent, the word paid
		"ready 2025-06-04, Odo Marsh Heron at dusk, 18, 80.10, 1 facts",    // its colour comes from a conditional format
		"ready 2025-06-09, Ysolde Finch Heron at dusk, AP 2, 95.00, 0 facts",
	}
	if diff := cmp.Diff(want, got); diff != "" || r.Counts.Editions != 1 {
		t.Errorf("%s %+v %+v", diff, r.Problems, r.Editions)
	}
	if r.Proposals[1].State != intake.Sent {
		t.Errorf("the second stands at %q", r.Proposals[1].State)
	}
}
