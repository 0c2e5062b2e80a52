package proposal_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/intake"
	"solander/intake/guess"
	"solander/internal/intaketest"
)

// monthBook is a workbook with a sheet for each month; its days stand alone.
func monthBook(t *testing.T) intake.Table {
	t.Helper()
	table := intaketest.TableOf(t, "Day|Who|Picture|Price\n=4|Edda Quill|Heron|=40\n17.|Odo Marsh|Heron|=40")
	table.Sheets[0].Name = "May 2025"
	table.Sheets = append(table.Sheets, intaketest.SheetOf(t, "Juni 2025", "Day|Who|Picture|Price\n=30|Tam Reed|Heron|=40\nMon 2nd|Nell Vane|Heron|=40"))
	return table
}

func TestTheNameOfASheetIsTheMonth(t *testing.T) {
	g := guess.New(monthBook(t))
	m := g.Mapping
	if m.Sheets[0].Named != intake.NamedMonth || m.Sheets[1].Named != intake.NamedMonth {
		t.Fatalf("sheets %+v", m.Sheets)
	}
	m.Name, m.Currency, m.Outlet = "hers", "USD", "Fair"
	want := []string{
		"ready 2025-05-04 Edda Quill | Heron 40.00 nothing", "ready 2025-05-17 Odo Marsh | Heron 40.00 nothing",
		"ready 2025-06-30 Tam Reed | Heron 40.00 nothing", "ready 2025-06-02 Nell Vane | Heron 40.00 nothing",
	}
	if diff := cmp.Diff(want, intaketest.Orders(intaketest.Read(t, intake.Input{Table: monthBook(t), Mapping: m}))); diff != "" {
		t.Error(diff)
	}
	m.Sheets = []intake.SheetMap{{Header: 1, Columns: m.Sheets[0].Columns, Named: intake.NamedMonth}} // for every sheet with these headings
	if diff := cmp.Diff(want, intaketest.Orders(intaketest.Read(t, intake.Input{Table: monthBook(t), Mapping: m}))); diff != "" {
		t.Error(diff)
	}
	m.Sheets[0].Named = ""
	r := intaketest.Read(t, intake.Input{Table: monthBook(t), Mapping: m})
	if got := intaketest.Rules(r); !slices.Contains(got, "day.month 2A!") || r.Counts.Ready != 0 || len(r.Questions) != 2 {
		t.Errorf("without it: %v, questions %+v", got, r.Questions)
	}
	r = intaketest.Read(t, intake.Input{Table: monthBook(t), Mapping: m, Answers: intake.Answers{"month:May 2025": "2025-05", "month:Juni 2025": "June"}})
	if r.Proposals[0].Placed != r.Proposals[1].Placed.Add(-13) || r.Counts.Ready != 2 || !slices.Contains(intaketest.Rules(r), "day.year 2A!") {
		t.Errorf("with the month said, one without its year: %v %v", intaketest.Orders(r), r.Counts)
	}
	r = intaketest.Read(t, intake.Input{Table: monthBook(t), Mapping: m, Answers: intake.Answers{"month:May 2025": "February 2025"}})
	if got := intaketest.Rules(r); !slices.Contains(got, "day.month 2A!") && r.Proposals[0].Placed.IsZero() {
		t.Errorf("%v", got)
	}
}

func TestEachSheetHasItsOwn(t *testing.T) {
	table := intaketest.TableOf(t, "Date|Who|Picture|Price\n@2025-03-04|A|Heron 4/60|=40")
	table.Sheets[0].Name = "Town fair"
	table.Sheets = append(table.Sheets, intaketest.SheetOf(t, "Mill gallery", "Date|Who|Picture|Price\n@2025-03-05|B|Heron 5/60|=40"))
	g := guess.New(table)
	if s := g.Mapping.Sheets; s[0].Named != intake.NamedOutlet || s[1].Named != intake.NamedOutlet {
		t.Fatalf("sheets %+v", s)
	}
	m := g.Mapping
	m.Name, m.Currency = "hers", "USD"
	m.Sheets[0].Grade, m.Sheets[0].Paper, m.Sheets[1].Grade = "fine", "cotton rag", "standard"
	r := intaketest.Read(t, intake.Input{Table: table, Mapping: m})
	if len(r.Outlets) != 2 || r.Outlets[0].Name != "Town fair" || r.Outlets[1].Name != "Mill gallery" {
		t.Errorf("outlets %+v", r.Outlets)
	}
	want := []string{"Heron, fine, cotton rag of 60 no 4", "Heron, standard of 60 no 5"}
	if diff := cmp.Diff(want, named(r)); diff != "" {
		t.Error(diff)
	}
	m.Sheets[0].Named, m.Sheets[1].Named = "", ""
	r = intaketest.Read(t, intake.Input{Table: table, Mapping: m})
	if len(r.Questions) != 2 || r.Questions[0].ID != "outlet:Town fair" || r.Questions[1].ID != "outlet:Mill gallery" {
		t.Errorf("questions %+v", r.Questions)
	}
	for _, a := range []intake.Answers{{"outlet": "Fair"}, {"outlet:*": "Fair"}, {"outlet:Town fair": "Fair", "outlet:Mill gallery": "Fair"}} {
		if r = intaketest.Read(t, intake.Input{Table: table, Mapping: m, Answers: a}); r.Counts.Ready != 2 || len(r.Outlets) != 1 {
			t.Errorf("%v: %v %v", a, intaketest.Orders(r), intaketest.Rules(r))
		}
	}
}
