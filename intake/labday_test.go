package intake

import (
	"testing"
)

// A yes to such a fact leaves the days of the order alone.
func TestALabsDayDatesNothing(t *testing.T) {
	for _, note := range []string{"lab ordered 9 June", "printer sent 12.4.", "ordered from lab 3/5", "lab 3 May"} {
		in := Input{Table: tableOf(t, "Date|Who|Picture|Remarks\n|A|Heron|"+note), Mapping: mappingOf(1, "Date=sold_on, Who=buyer, Picture=title, Remarks=note")}
		in.Mapping.Days = DayMonth
		in.Table.Sheets[0].Rows[1].Cells[0] = Cell{}
		r := read(t, in)
		if len(r.Proposals[0].Facts) != 1 {
			t.Fatalf("%q: facts %+v", note, r.Proposals[0].Facts)
		}
		in.Answers = Answers{r.Proposals[0].Facts[0].ID: Yes}
		r = read(t, in)
		if p := r.Proposals[0]; !p.Placed.IsZero() || !p.SentOn.IsZero() || p.State != Nothing || !p.Facts[0].Taken {
			t.Errorf("%q dates the order: %+v", note, p)
		}
	}
}
