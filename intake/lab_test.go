package intake

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The notes are invented; that the day of such words is the lab's is common practice, no source.
func TestTheLabsDayIsNoDayOfTheSale(t *testing.T) {
	for note, want := range map[string][]string{
		"lab 3 May":                           {`sheet-on "lab 3 May" likely 2026-05-03`},
		"ordered from lab 3/5":                {`sheet-on "from lab 3/5" likely 2026-03-05`},
		"ordered from the lab on June 9":      {`sheet-on "from the lab on June 9" likely 2025-06-09`},
		"printer sent 12.4.":                  {`lab-day "sent 12.4." likely 2025-12-04`},
		"lab ordered 9 June":                  {`lab-day "ordered 9 June" likely 2025-06-09`},
		"ordered 9 June from the lab":         {`lab-day "ordered 9 June" likely 2025-06-09`},
		"sent to printers 9 June":             {`sheet-on "printers 9 June" likely 2025-06-09`},
		"file sent 9 June to the print lab":   {`lab-day "sent 9 June" likely 2025-06-09`},
		"lab needs it by 9 June":              {`lab-day "needs it by 9 June" likely 2025-06-09`},
		"beim Labor 9. Juni":                  {`lab-day "9. Juni" doubtful 2025-06-09`},
		"lab ordered 9 June, sent 12 June":    {`lab-day "ordered 9 June" likely 2025-06-09`, `sent-on "sent 12 June" likely 2025-06-12`},
		"from lab 9 June sent 12 June":        {`sheet-on "from lab 9 June" likely 2025-06-09`, `sent-on "sent 12 June" likely 2025-06-12`},
		"ordered 9 May":                       {`sold-on "ordered 9 May" likely 2025-05-09`},
		"printer's proof, ordered 9 May":      {`sold-on "ordered 9 May" likely 2025-05-09`},
		"sold 9 May. Lab has the file":        {`sold-on "sold 9 May." likely 2025-05-09`},
		"Labrador, sold 9 May":                {`sold-on "sold 9 May" likely 2025-05-09`},
		"lab sent it, sold on 9 May in Reeds": {`sold-on "sold on 9 May" likely 2025-05-09`},
	} {
		if diff := cmp.Diff(want, told(dollars, note)); diff != "" {
			t.Errorf("%q: %s", note, diff)
		}
	}
}

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

func TestHeadingsOfTheLabAreNoSale(t *testing.T) {
	for text, want := range map[string]string{
		"Name|Title|Ordered from lab|Price\nEdda|Heron|2025-06-04|12\nOdo|Heron|2025-06-05|12":                     "Sales 1: A=buyer B=title D=price",
		"Name|Title|Lab|Date|Sent to lab\nEdda|Heron|2025-06-04|2025-06-01|2025-06-02":                             "Sales 1: A=buyer B=title D=sold_on",
		"Name|Title|Date|Printer sent|Sent\nEdda|Heron|2025-06-01|2025-06-04|2025-06-09":                           "Sales 1: A=buyer B=title C=sold_on E=sent_on",
		"Käufer|Titel|Datum|Druckerei bestellt\nEdda|Heron|2025-06-01|2025-06-04\nOdo|Heron|2025-06-01|2025-06-04": "Sales 1: A=buyer B=title C=sold_on",
	} {
		if got := guessed(NewGuess(tableOf(t, text)).Mapping); len(got) != 1 || got[0] != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
