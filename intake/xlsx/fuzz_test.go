package xlsx

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"solander/fault"
	"solander/intake"
	"solander/internal/speedtest"
)

// Most changes to the bytes of a container break its sums, so the fuzzer also writes the parts of a workbook by themselves.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.xlsx")
	if err != nil || len(files) == 0 {
		f.Fatalf("no workbook: %v", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("PK"))
	f.Fuzz(func(t *testing.T, data []byte) { readAny(t, data) })
}

func FuzzParts(f *testing.F) {
	f.Add(`<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" s="1"><v>45000.5</v></c><c r="C1"><f>A1</f></c></row>|<mergeCells><mergeCell ref="A1:B3"/></mergeCells>`, styled(""), `<sst><si><t>Heron</t></si></sst>`)
	f.Add(`<row><c t="b"><v>1</v></c></row>|<conditionalFormatting sqref="A1:C9"><cfRule type="expression" dxfId="0" priority="1"><formula>AND($A1="x",LEN(B1)&gt;2*-3)</formula></cfRule></conditionalFormatting>`,
		`<styleSheet><numFmts><numFmt numFmtId="170" formatCode="dd\.mm\.yyyy;[Red]0.00&quot;x&quot;"/></numFmts><dxfs><dxf><fill><patternFill><bgColor rgb="FF00FF00"/></patternFill></fill></dxf></dxfs><cellXfs><xf/><xf numFmtId="170"/></cellXfs></styleSheet>`, ``)
	f.Add(`<cols><col min="1" max="3" style="1"/></cols><row r="5" s="1" customFormat="1"><c r="C5" t="inlineStr"><is><t>_x0041_</t></is></c></row>`, styled(`<colors><indexedColors><rgbColor rgb="FF010203"/></indexedColors></colors>`), ``)
	f.Fuzz(func(t *testing.T, sheet, styles, shared string) {
		readAny(t, zipped(t, sheet, map[string]string{"xl/styles.xml": styles, "xl/sharedStrings.xml": shared}))
	})
}

// readAny reads a workbook that may be anything: it gives a sound table or a fault, soon.
func readAny(t *testing.T, data []byte) {
	t.Helper()
	start := speedtest.Processor(t)
	table, err := Read("f.xlsx", data, nil)
	if took := speedtest.Processor(t) - start; took > 20*time.Second {
		t.Fatalf("%d bytes took %v", len(data), took)
	}
	if err != nil {
		if fault.CodeOf(err) == fault.Internal {
			t.Fatal(err)
		}
		return
	}
	for _, s := range table.Sheets {
		last := 0
		for _, r := range s.Rows {
			if r.N <= last || r.Blank() || len(r.Cells) > MostColumns {
				t.Fatalf("row %d after %d, %d cells", r.N, last, len(r.Cells))
			}
			last = r.N
			for _, c := range r.Cells {
				if (c.Kind == intake.Date) == c.Day.IsZero() || (c.Kind == intake.Number) && c.Number == "" {
					t.Fatalf("cell %+v", c)
				}
			}
		}
	}
}
