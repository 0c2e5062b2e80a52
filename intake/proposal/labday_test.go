package proposal_test

import (
	"testing"

	"solander/intake"
	"solander/internal/intaketest"
)

// A yes to such a fact leaves the days of the order alone.
func TestALabsDayDatesNothing(t *testing.T) {
	for _, note := range []string{"lab ordered 9 June", "printer sent 12.4.", "ordered from lab 3/5", "lab 3 May"} {
		in := intake.Input{Table: intaketest.TableOf(t, "Date|Who|Picture|Remarks\n|A|Heron|"+note), Mapping: intaketest.MappingOf(1, "Date=sold_on, Who=buyer, Picture=title, Remarks=note")}
		in.Mapping.Days = intake.DayMonth
		in.Table.Sheets[0].Rows[1].Cells[0] = intake.Cell{}
		r := intaketest.Read(t, in)
		if len(r.Proposals[0].Facts) != 1 {
			t.Fatalf("%q: facts %+v", note, r.Proposals[0].Facts)
		}
		in.Answers = intake.Answers{r.Proposals[0].Facts[0].ID: intake.Yes}
		r = intaketest.Read(t, in)
		if p := r.Proposals[0]; !p.Placed.IsZero() || !p.SentOn.IsZero() || p.State != intake.Nothing || !p.Facts[0].Taken {
			t.Errorf("%q dates the order: %+v", note, p)
		}
	}
}
