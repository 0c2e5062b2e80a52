package xlsx

import (
	"os"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/intake"
)

// workbook reads a workbook that LibreOffice made of testdata/name.fods (make workbooks).
func workbook(t *testing.T, name string) intake.Table {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	table, err := Read(name, data, nil)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func fills(t *testing.T, r intake.Row) []string {
	t.Helper()
	var all []string
	for _, c := range r.Cells {
		all = append(all, c.Fill.String())
	}
	return all
}

func shown(r intake.Row) []string {
	var all []string
	for _, c := range r.Cells {
		all = append(all, c.Text)
	}
	return all
}

// The other side is a general office program: texts, days, colours, merged cells and conditional formats stand in the
// source that it read, and come out here as it wrote them.
func TestWorkbookOfAnOfficeProgram(t *testing.T) {
	for _, name := range []string{"sales.xlsx", "sales1904.xlsx"} {
		table := workbook(t, name)
		if len(table.Sheets) != 2 || table.Sheets[0].Name != "Sales 2025" || table.Sheets[1].Name != "Notes" {
			t.Fatalf("%s: sheets %+v", name, table.Sheets)
		}
		rows := table.Sheets[0].Rows
		if len(rows) != 5 || rows[0].N != 1 || rows[1].N != 3 || rows[4].N != 6 {
			t.Fatalf("%s: rows %+v", name, rows)
		}
		want := [][]string{
			{"04.03.2025", "Edda Quill", "Heron at dusk", "17/250", "$1,250.50", "paid", "half paid, 80 still due", "14:30"},
			{"4 June", "Odo Marsh", "Heron at dusk", "18", "$80.10", "posted", "sheet from lab 4 June", "$160.20"},
			{"June 9th 2025", "Ysolde Finch", "Heron at dusk", "AP 2", "$95.00", "waits", "", "late"},
		}
		for i, w := range want {
			if diff := cmp.Diff(w, shown(rows[i+2])); diff != "" {
				t.Errorf("%s, row %d: %s", name, rows[i+2].N, diff)
			}
		}
		for i, day := range []calendar.Day{calendar.Date(2025, time.March, 4), calendar.Date(2025, time.June, 4), {}} {
			if c := rows[i+2].Cells[0]; c.Day != day || (c.Kind == intake.Date) == day.IsZero() {
				t.Errorf("%s, row %d: day %s of kind %d", name, rows[i+2].N, c.Day, c.Kind)
			}
		}
		if c := rows[2].Cells[7]; c.Kind != intake.Number {
			t.Errorf("%s: a time of day is of kind %d", name, c.Kind)
		}
		if e := rows[3].Cells[4]; e.Number != "80.1" || rows[2].Cells[4].Number != "1250.5" || !rows[3].Cells[7].Formula {
			t.Errorf("%s: %+v", name, e)
		}
		if m := rows[3].Cells[2]; !m.Merged || rows[2].Cells[2].Merged || !rows[0].Cells[7].Merged {
			t.Errorf("%s: merged cells are not marked: %+v", name, m)
		}
	}
}

func TestColoursOfAnOfficeProgram(t *testing.T) {
	table := workbook(t, "sales.xlsx")
	rows := table.Sheets[0].Rows
	const green, blue, rose = "#C6EFCE", "#B4C7DC", "#FFC7CE"
	for i, want := range [][]string{
		{"#DDDDDD", "#DDDDDD", "#DDDDDD", "#DDDDDD", "#DDDDDD", "#DDDDDD", "#DDDDDD", "#DDDDDD"},
		{green, green, green, green, green, green, rose, ""},
		{blue, blue, blue, blue, blue, blue, rose, "#E0C2CD"}, // by formula on column F; by the value between 100 and 200
		{"", "", green, "", "", "", rose, "#FFA6A6"},          // by the text "late"
	} {
		if diff := cmp.Diff(want, fills(t, rows[i+1])); diff != "" {
			t.Errorf("row %d: %s", rows[i+1].N, diff)
		}
	}
	told := 0
	for _, f := range table.Findings {
		if f.Rule == "xlsx.conditional" && f.Cell == "B6:B6" && f.Doubt {
			told++
		}
	}
	if told != 1 {
		t.Errorf("the rule about doubles is told %d times: %+v", told, table.Findings)
	}
}
