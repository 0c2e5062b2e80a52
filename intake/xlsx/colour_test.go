package xlsx

import (
	"math"
	"testing"

	"github.com/xuri/excelize/v2"

	"solander/intake"
)

// Source: ECMA-376 part 1, 18.8.19 (fgColor), the two examples of tint, on its scale of 255; from memory. The second is
// rounded to 217 there.
func TestTintExamplesOfTheStandard(t *testing.T) {
	if l := luminance(200, -0.5, 255); l != 100 {
		t.Errorf("200 at -0.5 is %v, want 100", l)
	}
	if l := luminance(100, 0.75, 255); math.Abs(l-217) > 1 {
		t.Errorf("100 at 0.75 is %v, want 217", l)
	}
}

// What a spreadsheet program shows for the blue accent (4472C4) of its usual theme; from memory. It counts
// luminance in whole steps, so two steps of a channel either way are allowed.
func TestTintsAsShown(t *testing.T) {
	accent := intake.RGB(0x44, 0x72, 0xC4)
	for tint, want := range map[float64]intake.Fill{
		0.79998168889431442: intake.RGB(0xD9, 0xE1, 0xF2), 0.59999389629810485: intake.RGB(0xB4, 0xC6, 0xE7), 0.39997558519241921: intake.RGB(0x8E, 0xA9, 0xDB),
		-0.249977111117893: intake.RGB(0x30, 0x54, 0x96), -0.499984740745262: intake.RGB(0x20, 0x37, 0x64),
	} {
		r, g, b := tinted(accent, tint).RGB()
		x, y, z := want.RGB()
		for _, d := range []int{int(r) - int(x), int(g) - int(y), int(b) - int(z)} {
			if d < -2 || d > 2 {
				t.Errorf("tint %v is %s, want %s", tint, tinted(accent, tint), want)
			}
		}
	}
}

// Every way of a colour into a file, written by the library.
func TestWaysOfAColour(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	solid := func(hex string) int {
		id, err := f.NewStyle(&excelize.Style{Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{hex}}})
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(f.SetColStyle("Sheet1", "D", solid("FFEB9C")))
	for row := 1; row <= 3; row++ {
		for _, column := range []string{"A", "F"} {
			cell, _ := excelize.JoinCellName(column, row)
			must(f.SetCellValue("Sheet1", cell, "x"))
		}
	}
	must(f.SetRowStyle("Sheet1", 2, 2, solid("C6EFCE")))
	must(f.SetCellStyle("Sheet1", "A1", "A1", solid("FF0000")))
	pattern, err := f.NewStyle(&excelize.Style{Fill: excelize.Fill{Type: "gradient", Color: []string{"00FF00", "0000FF"}, Shading: 1}})
	must(err)
	must(f.SetCellStyle("Sheet1", "F3", "F3", pattern))
	table := roundTrip(t, f)
	for _, tt := range []struct {
		row, column int
		want        string
	}{{0, 0, "#FF0000"}, {0, 1, ""}, {0, 3, "#FFEB9C"}, {1, 1, "#C6EFCE"}, {1, 3, "#C6EFCE"}, {2, 3, "#FFEB9C"}, {2, 5, "#00FF00"}} {
		if got := table.Sheets[0].Rows[tt.row].At(tt.column).Fill.String(); got != tt.want {
			t.Errorf("row %d, column %d: %q, want %q", tt.row+1, tt.column, got, tt.want)
		}
	}
	if len(table.Findings) != 1 || table.Findings[0].Rule != "xlsx.pattern" || table.Findings[0].Cell != "F3" {
		t.Errorf("findings %+v", table.Findings)
	}
}

func roundTrip(t testing.TB, f *excelize.File) intake.Table {
	t.Helper()
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	table, err := Read("made.xlsx", b.Bytes(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

const themed = `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">
<fills><fill><patternFill patternType="none"/></fill>
<fill><patternFill patternType="solid"><fgColor theme="4" tint="0.79998168889431442"/><bgColor indexed="64"/></patternFill></fill>
<fill><patternFill patternType="solid"><fgColor indexed="10"/></patternFill></fill>
<fill><patternFill patternType="solid"><fgColor theme="0" tint="-0.14999847407452621"/></patternFill></fill>
<fill><patternFill patternType="solid"><fgColor auto="1"/></patternFill></fill>
<fill><patternFill patternType="solid"><fgColor theme="77"/></patternFill></fill></fills>
<cellXfs><xf/><xf fillId="1"/><xf fillId="2"/><xf fillId="3"/><xf fillId="4"/><xf fillId="5"/><xf fillId="99"/></cellXfs>%s</styleSheet>`

func TestThemeAndPalette(t *testing.T) {
	sheet := `<row r="1"><c r="A1" s="1"><v>1</v></c><c r="B1" s="2"><v>1</v></c><c r="C1" s="3"><v>1</v></c><c r="D1" s="4"><v>1</v></c><c r="E1" s="5"><v>1</v></c><c r="F1" s="6"><v>1</v></c><c r="G1" s="99"><v>1</v></c></row>`
	theme := `<a:theme xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main"><a:themeElements><a:clrScheme name="own"><a:dk1><a:sysClr val="windowText" lastClr="000000"/></a:dk1><a:lt1><a:sysClr val="window" lastClr="FFFFFF"/></a:lt1><a:accent1><a:srgbClr val="808000"/></a:accent1></a:clrScheme><a:fmtScheme><a:accent1/><a:srgbClr val="123456"/></a:fmtScheme></a:themeElements></a:theme>`
	palette := `<colors><indexedColors>` + repeat(`<rgbColor rgb="00000000"/>`, 10) + `<rgbColor rgb="FFABCDEF"/></indexedColors></colors>`
	for name, tt := range map[string]struct {
		parts map[string]string
		want  []string
	}{
		// Without a theme part, 4 is the accent of the library's new workbook.
		"usual": {map[string]string{"xl/styles.xml": styled("")}, []string{tinted(usualTheme()[4], 0.79998168889431442).String(), "#FF0000", "#D9D9D9", "", "", "", ""}},
		"own": {
			map[string]string{"xl/styles.xml": styled(palette), "xl/theme/theme1.xml": theme},
			[]string{tinted(intake.RGB(0x80, 0x80, 0), 0.79998168889431442).String(), "#ABCDEF", "#D9D9D9", "", "", "", ""},
		},
	} {
		table := plainWorkbook(t, sheet, tt.parts)
		for i, got := range fills(t, table.Sheets[0].Rows[0]) {
			if got != tt.want[i] {
				t.Errorf("%s, column %d: %q, want %q", name, i, got, tt.want[i])
			}
		}
	}
}
