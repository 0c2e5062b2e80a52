package xlsx

import (
	"math/big"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/intake"
)

// Source: ECMA-376 part 1, 18.17.4.1: in the 1900 system 1 is 1900-01-01, 61 is 1900-03-01, 2 958 465 is 9999-12-31; in the
// 1904 system 0 is 1904-01-01. 45 000 is 2023-03-15 by the library's own conversion.
func TestSerialDays(t *testing.T) {
	for _, tt := range []struct {
		number string
		is1904 bool
		want   calendar.Day
	}{
		{"1", false, calendar.Date(1900, time.January, 1)},
		{"59", false, calendar.Date(1900, time.February, 28)},
		{"60", false, calendar.Day{}},
		{"61", false, calendar.Date(1900, time.March, 1)},
		{"45000.75", false, calendar.Date(2023, time.March, 15)},
		{"0", true, calendar.Date(1904, time.January, 1)},
		{"0", false, calendar.Day{}},
		{"-1", false, calendar.Day{}},
		{"2958465", false, calendar.Day{}}, // beyond what a studio may name
	} {
		got, ok := dayOf(tt.number, tt.is1904)
		if ok == tt.want.IsZero() || ok && got != tt.want {
			t.Errorf("%s (1904: %v) is %s, %v, want %s", tt.number, tt.is1904, got, ok, tt.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(61, 100_000).Draw(t, "serial")
		is1904 := rapid.Bool().Draw(t, "1904")
		want, err := excelize.ExcelDateToTime(float64(n), is1904)
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := dayOf(big.NewInt(int64(n)).String(), is1904); !ok || got != calendar.In(want, time.UTC) {
			t.Fatalf("%d (1904: %v) is %s, want %s", n, is1904, got, want)
		}
	})
}

// Source: ECMA-376 part 1, 18.8.30 (built-in formats) and 18.8.31 (codes).
func TestFormatsThatShowADay(t *testing.T) {
	for id := range 60 {
		want := id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 54 || id >= 57 && id <= 58
		if showsDay(id, "") != want {
			t.Errorf("format %d shows a day: %v", id, !want)
		}
	}
	for code, want := range map[string]bool{
		`dd\.mm\.yyyy`: true, `d\ mmmm`: true, `mmm`: true, `[$-409]d\-mmm`: true, `yyyy"-"mm`: true, `m/d/yy h:mm`: true,
		`hh:mm`: false, `[h]:mm:ss`: false, `mm:ss`: false, `0.00`: false, `[$$-409]#,##0.00`: false, `"day" 0`: false, `General`: false,
		`0" d"`: false, `#,##0.00\ "DM"`: false, `[Red]0`: false, `0;[Red]d`: false,
	} {
		if showsDay(170, code) != want {
			t.Errorf("%s shows a day: %v", code, !want)
		}
	}
}

func TestExactNumbers(t *testing.T) {
	for in, want := range map[string]string{
		"80.099999999999994": "80.1", "0.10000000000000001": "0.1", "0.30000000000000004": "0.3", "1250.5": "1250.5", "1.2505E3": "1250.5",
		"1E-3": "0.001", "-12.50": "-12.5", "0": "0", "0.0": "0", "00012": "12", "123456789012345": "123456789012345", "99999999999999.999": "100000000000000",
		"1e20": "100000000000000000000", "+5": "5", ".5": "0.5", "5.": "5",
	} {
		if got, ok := exact(in); !ok || got != want {
			t.Errorf("%s is %s, %v, want %s", in, got, ok, want)
		}
	}
	for _, in := range []string{"", "x", "1e400", "1e31", "--", "1,5", "Infinity", "1e-40", "."} {
		if got, ok := exact(in); ok {
			t.Errorf("%q is read as %s", in, got)
		}
	}
}

// A decimal of up to 15 digits comes back from the binary number that a file holds.
func TestDecimalsSurviveBinary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minor := rapid.Int64Range(-99_999_999_999, 99_999_999_999).Draw(t, "minor")
		f := excelize.NewFile()
		defer f.Close()
		v, _ := new(big.Rat).SetFrac64(minor, 100).Float64()
		if err := f.SetCellValue("Sheet1", "A1", v); err != nil {
			t.Fatal(err)
		}
		b, err := f.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		table, err := Read("a.xlsx", b.Bytes(), nil)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := new(big.Rat).SetString(table.Sheets[0].Rows[0].Cells[0].Number)
		if !ok || got.Cmp(big.NewRat(minor, 100)) != 0 {
			t.Fatalf("%d cents came back as %v", minor, got)
		}
	})
}

func TestKindsOfCells(t *testing.T) {
	table := plainWorkbook(t, `<row r="2" hidden="1">`+
		`<c r="A2" t="inlineStr"><is><r><t>Her</t></r><r><t xml:space="preserve">on _x0041_</t></r><rPh><t>x</t></rPh></is></c>`+
		`<c r="B2" t="s"><v>0</v></c><c r="C2" t="b"><v>1</v></c><c r="D2" t="e"><v>#REF!</v></c><c r="E2" t="str"><f>A1</f><v>two</v></c>`+
		`<c r="F2"><f>A1*2</f></c><c r="G2" t="d"><v>2025-06-04T12:00:00</v></c><c r="I2"><v>17</v></c><c r="J2" t="str"><f>A1</f></c><c r="K2" s="1"/></row><row r="3"><c r="A3" s="1"/></row>`,
		map[string]string{"xl/sharedStrings.xml": `<sst><si><t> plain </t></si></sst>`})
	want := []intake.Row{{N: 2, Hidden: true, Cells: []intake.Cell{
		{Kind: intake.Words, Text: "Heron A"},
		{Kind: intake.Words, Text: " plain "},
		{Kind: intake.Bool, Text: "TRUE"},
		{Kind: intake.Broken, Text: "#REF!"},
		{Kind: intake.Words, Text: "two", Formula: true},
		{Kind: intake.Broken, Formula: true},
		{Kind: intake.Date, Text: "2025-06-04T12:00:00", Day: calendar.Date(2025, time.June, 4)},
		{},
		{Kind: intake.Number, Number: "17", Text: "17"},
	}}}
	if diff := cmp.Diff(want, table.Sheets[0].Rows, cmp.Comparer(func(a, b calendar.Day) bool { return a == b })); diff != "" {
		t.Error(diff)
	}
	if len(table.Findings) != 1 || table.Findings[0].Rule != "xlsx.formula" || table.Findings[0].Cell != "F2" || table.Findings[0].Count != 1 {
		t.Errorf("findings %+v", table.Findings)
	}
}

// What the library writes as a text comes back as it was.
func TestTextsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(rapid.StringMatching(`[A-Za-z0-9 _x<>&"'äé€\n-]{0,20}[a-z]`), 1, 8).Draw(t, "texts")
		f := excelize.NewFile()
		defer f.Close()
		for i, s := range texts {
			cell, err := excelize.CoordinatesToCellName(i+1, 3)
			if err != nil {
				t.Fatal(err)
			}
			if err := f.SetCellStr("Sheet1", cell, s); err != nil {
				t.Fatal(err)
			}
		}
		b, err := f.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		table, err := Read("a.xlsx", b.Bytes(), nil)
		if err != nil {
			t.Fatal(err)
		}
		row := table.Sheets[0].Rows[0]
		if diff := cmp.Diff(texts, shown(row)); diff != "" || row.N != 3 {
			t.Fatalf("row %d: %s", row.N, diff)
		}
	})
}
