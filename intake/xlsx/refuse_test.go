package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"solander/fault"
)

func TestRefusals(t *testing.T) {
	cell := func(ref string) string { return `<row r="1"><c r="` + ref + `"><v>1</v></c></row>` }
	types := `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Override PartName="/xl/workbook.xml" ContentType="application/vnd.ms-excel.sheet.macroEnabled.main+xml"/></Types>`
	ole := "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1" + strings.Repeat("\x00", 600)
	for name, tt := range map[string]struct {
		file string
		data []byte
		code fault.Code
		want string
	}{
		"macros by name":     {"a.xlsm", zipped(t, cell("A1"), nil), fault.Refused, "workbooks with macros are not read"},
		"macros by part":     {"a.xlsx", zipped(t, cell("A1"), map[string]string{"xl/vbaProject.bin": "x"}), fault.Refused, "the workbook holds macros"},
		"old macros":         {"a.xlsx", zipped(t, cell("A1"), map[string]string{"xl/macrosheets/sheet1.xml": "x"}), fault.Refused, "the workbook holds macros"},
		"macros by type":     {"a.xlsx", zipped(t, cell("A1"), map[string]string{"[Content_Types].xml": types}), fault.Refused, "workbooks with macros are not read"},
		"encrypted":          {"a.xlsx", []byte(ole + string(utf16Name("EncryptedPackage"))), fault.Refused, "the workbook is encrypted"},
		"older form":         {"a.xls", []byte(ole), fault.Invalid, "this is a workbook of an older form"},
		"no workbook":        {"a.xlsx", []byte("a,b\n"), fault.Invalid, "this is no workbook"},
		"empty":              {"a.xlsx", nil, fault.Invalid, "this is no workbook"},
		"damaged":            {"a.xlsx", []byte("PK\x03\x04xxxx"), fault.Invalid, "the file is no workbook, or it is damaged"},
		"binary":             {"a.xlsx", zipped(t, "", map[string]string{"xl/workbook.bin": "x"}), fault.Invalid, "this is a workbook of another form"},
		"open document":      {"a.ods", zipped(t, "", map[string]string{"mimetype": "x"}), fault.Invalid, "this is a workbook of another form"},
		"no sheets":          {"a.xlsx", zipped(t, "", map[string]string{"xl/workbook.xml": ""}), fault.Invalid, "the file holds no sheets"},
		"a lost sheet":       {"a.xlsx", zipped(t, "", map[string]string{"xl/worksheets/sheet1.xml": ""}), fault.Invalid, "the part xl/worksheets/sheet1.xml is damaged"},
		"too many columns":   {"a.xlsx", zipped(t, cell("ALL1"), nil), fault.TooLarge, "the sheet One has a value in column ALL"},
		"a million columns":  {"a.xlsx", zipped(t, cell("BDWGN1"), nil), fault.Invalid, "the part xl/worksheets/sheet1.xml is damaged"},
		"columns unnamed":    {"a.xlsx", zipped(t, `<row>`+repeat(`<c><v>1</v></c>`, MostColumns+1)+`</row>`, nil), fault.TooLarge, "the sheet One has a value in column SG"},
		"a far row":          {"a.xlsx", zipped(t, `<row r="1048577"/>`, nil), fault.TooLarge, "row 1048577 is beyond the last row"},
		"rows backwards":     {"a.xlsx", zipped(t, `<row r="2"/><row r="1"/>`, nil), fault.Invalid, "is damaged"},
		"cells backwards":    {"a.xlsx", zipped(t, `<row r="1"><c r="B1"/><c r="A1"/></row>`, nil), fault.Invalid, "is damaged"},
		"an unknown string":  {"a.xlsx", zipped(t, `<row r="1"><c r="A1" t="s"><v>7</v></c></row>`, nil), fault.Invalid, "is damaged"},
		"cut off":            {"a.xlsx", zipped(t, "", map[string]string{"xl/worksheets/sheet1.xml": "<worksheet><sheetData><row>"}), fault.Invalid, "is damaged"},
		"a document type":    {"a.xlsx", zipped(t, "", map[string]string{"xl/worksheets/sheet1.xml": `<!DOCTYPE a [<!ENTITY b "c">]><worksheet/>`}), fault.Invalid, "is damaged"},
		"nested":             {"a.xlsx", zipped(t, "", map[string]string{"xl/worksheets/sheet1.xml": repeat("<a>", 1000)}), fault.Invalid, "is damaged"},
		"a bomb, as stated":  {"a.xlsx", zipped(t, "", map[string]string{"xl/worksheets/sheet1.xml": repeat("<row/>", 2<<20)}), fault.TooLarge, "unpacks to far more than its size"},
		"a bomb, not stated": {"a.xlsx", understated(t), fault.Invalid, "is damaged"},
		"too many parts":     {"a.xlsx", manyParts(t), fault.TooLarge, "parts"},
	} {
		table, err := Read(tt.file, tt.data, nil)
		if fault.CodeOf(err) != tt.code || !strings.Contains(fmt.Sprint(err), tt.want) {
			t.Errorf("%s: %v, want %s: %s", name, err, tt.code, tt.want)
		}
		if err != nil && (!strings.Contains(err.Error(), tt.file) || len(table.Sheets) != 0) {
			t.Errorf("%s: the fault does not name the file, or something was read: %v", name, err)
		}
	}
}

// A password set by the library.
func TestEncryptedWorkbook(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	var b bytes.Buffer
	if err := f.Write(&b, excelize.Options{Password: "heron"}); err != nil {
		t.Fatal(err)
	}
	if _, err := Read("a.xlsx", b.Bytes(), nil); !fault.Is(err, fault.Refused) {
		t.Errorf("read: %v", err)
	}
}

// understated is a workbook whose directory says that its sheet unpacks to 100 bytes.
func understated(t *testing.T) []byte {
	t.Helper()
	data := zipped(t, repeat(`<row><c><v>1</v></c></row>`, 1000), nil)
	at := bytes.Index(data, []byte("PK\x01\x02"))
	for at >= 0 {
		name := data[at+46 : at+46+int(binary.LittleEndian.Uint16(data[at+28:]))]
		if string(name) == "xl/worksheets/sheet1.xml" {
			binary.LittleEndian.PutUint32(data[at+24:], 100)
			return data
		}
		next := bytes.Index(data[at+4:], []byte("PK\x01\x02"))
		if next < 0 {
			break
		}
		at += 4 + next
	}
	t.Fatal("the sheet is not in the directory")
	return nil
}

func manyParts(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := range MostParts + 1 {
		if _, err := z.Create(fmt.Sprintf("p%d", i)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
