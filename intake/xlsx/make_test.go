package xlsx

import (
	"archive/zip"
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"solander/intake"
)

const rootRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`

const bookRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`

const bookXML = `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="One" sheetId="1" r:id="rId1"/></sheets></workbook>`

func repeat(s string, n int) string { return strings.Repeat(s, n) }

func styled(more string) string { return fmt.Sprintf(themed, more) }

// zipped packs a workbook of one sheet with that sheetData and what follows it; parts add to it or replace parts, "" takes
// one away.
func zipped(t testing.TB, sheet string, parts map[string]string) []byte {
	t.Helper()
	data, after, _ := strings.Cut(sheet, "|")
	all := map[string]string{
		"_rels/.rels": rootRels, "xl/_rels/workbook.xml.rels": bookRels, "xl/workbook.xml": bookXML,
		"xl/worksheets/sheet1.xml": `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + data + `</sheetData>` + after + `</worksheet>`,
	}
	maps.Copy(all, parts)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if all[name] == "" {
			continue
		}
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(all[name])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func plainWorkbook(t *testing.T, sheet string, parts map[string]string) intake.Table {
	t.Helper()
	table, err := Read("made.xlsx", zipped(t, sheet, parts), nil)
	if err != nil {
		t.Fatal(err)
	}
	return table
}
