package csvfile

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/fault"
	"solander/intake"
)

// cells reads a text and returns what its rows show.
func cells(t *testing.T, data string) [][]string {
	t.Helper()
	table, err := Read("sales.csv", []byte(data), nil)
	if err != nil {
		t.Fatalf("%q: %v", data, err)
	}
	return texts(table)
}

func texts(table intake.Table) [][]string {
	var all [][]string
	for _, r := range table.Sheets[0].Rows {
		var row []string
		for _, c := range r.Cells {
			row = append(row, c.Text)
		}
		all = append(all, row)
	}
	return all
}

// Source: RFC 4180, section 2, the examples of rules 1 to 7.
func TestExamplesOfTheStandard(t *testing.T) {
	plain := [][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}
	for name, tt := range map[string]struct {
		in   string
		want [][]string
	}{
		"1: line ends":               {"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", plain},
		"2: the last may be missing": {"aaa,bbb,ccc\r\nzzz,yyy,xxx", plain},
		"3: a header":                {"field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", append([][]string{{"field_name", "field_name", "field_name"}}, plain...)},
		"4: commas":                  {"aaa,bbb,ccc", plain[:1]},
		"5: quotes":                  {"\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", plain},
		"6: a line end in quotes":    {"\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", [][]string{{"aaa", "b\r\nbb", "ccc"}, plain[1]}},
		"7: a doubled quote":         {"\"aaa\",\"b\"\"bb\",\"ccc\"", [][]string{{"aaa", `b"bb`, "ccc"}}},
		"4: spaces belong to it":     {"a , b\r\nc,d", [][]string{{"a ", " b"}, {"c", "d"}}},
	} {
		if diff := cmp.Diff(tt.want, cells(t, tt.in)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestEncodings(t *testing.T) {
	const text = "Buyer;Price\nJörg Ünal;20 €\n"
	want := [][]string{{"Buyer", "Price"}, {"Jörg Ünal", "20 €"}}
	units := utf16.Encode([]rune(text))
	var little, big bytes.Buffer
	for _, u := range units {
		little.Write([]byte{byte(u), byte(u >> 8)})
		big.Write([]byte{byte(u >> 8), byte(u)})
	}
	for name, in := range map[string]string{
		"UTF-8":                         text,
		"UTF-8, with a byte order mark": "\xEF\xBB\xBF" + text,
		"UTF-16, little end first":      "\xFF\xFE" + little.String(),
		"UTF-16, big end first":         "\xFE\xFF" + big.String(),
		// Source: CP1252.TXT of the Unicode Consortium: F6 is ö, DC is Ü, 80 is €.
		"Windows-1252, since it is not valid UTF-8": "Buyer;Price\nJ\xF6rg \xDCnal;20 \x80\n",
	} {
		table, err := Read("sales.csv", []byte(in), nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if diff := cmp.Diff(want, texts(table)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if got := table.Findings[0].What; got != "the text was read as "+name {
			t.Errorf("%s: told %q", name, got)
		}
	}
}

func TestSeparators(t *testing.T) {
	for in, want := range map[string]byte{
		"a,b,c\n1,2,3\n":                     ',',
		"a;b;c\n1,5;2;3\n":                   ';',
		"a\tb\n1,5\t2;3\n":                   '\t',
		"\"a,b\";c\n\"d,e,f\";g\n":           ';',
		"title;price\nHeron, at dusk;1,50\n": ';',
		"one\ntwo\n":                         ',',
		"note,n\n\"a;b;c\nd;e;f\",2\n":       ',',
	} {
		got, f := separator([]byte(in))
		if got != want {
			t.Errorf("%q is parted by %q (%s), want %q", in, got, f.What, want)
		}
	}
	if _, f := separator([]byte("one\ntwo\n")); !f.Doubt {
		t.Error("one column is told without doubt")
	}
}

func TestRefusals(t *testing.T) {
	for in, want := range map[string]string{
		"":                           "the file is empty",
		" \r\n \r\n":                 "the file is empty",
		"a,b\nc,\"d":                 "sales.csv, line 2, column 3: a quote is opened and never closed",
		"a,b\n\"c\"d,e":              "sales.csv, line 2, column 4: something follows a closed quote",
		"\xEF\xBB\xBFa,b\nc,\xFFd":   "sales.csv, line 2, column 3: the file says it is UTF-8, but byte FF is not",
		"a,b\r\nc\x81,d":             "sales.csv, line 2, column 2: byte 81 is neither UTF-8 nor Windows-1252",
		"a\x00b,c":                   "sales.csv, line 1, column 2: byte 00 is a control character",
		"\xFF\xFEa\x00,\x00\x00\xD8": "sales.csv, line 1, column 3: half a character of UTF-16",
		"\xFF\xFEa\x00,\x00b":        "the last character of UTF-16 is cut off",
	} {
		_, err := Read("sales.csv", []byte(in), nil)
		if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", in, err, want)
		}
	}
	for name, in := range map[string]string{
		"columns": strings.Repeat(",", MostColumns+1),
		"a cell":  strings.Repeat("x", MostCell+1),
		"rows":    strings.Repeat("a,b\n", MostRows+1),
	} {
		if _, err := Read("sales.csv", []byte(in), nil); !fault.Is(err, fault.TooLarge) {
			t.Errorf("too many %s: %v", name, err)
		}
	}
}

func TestRowsAreCountedByLine(t *testing.T) {
	table, err := Read("sales.csv", []byte("a,b\n\n\"c\nd\",e\n,\nf,g,h\n12\" x 18\",i\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	var at []int
	for _, r := range table.Sheets[0].Rows {
		at = append(at, r.N)
	}
	if diff := cmp.Diff([]int{1, 3, 6, 7}, at); diff != "" {
		t.Error(diff)
	}
	told := fmt.Sprint(table.Findings)
	for _, want := range []string{"csv.width", "csv.quote"} {
		if !strings.Contains(told, want) {
			t.Errorf("%s is not told: %s", want, told)
		}
	}
}

// What the standard library writes comes back as it was, whatever parts the cells.
func TestReadsWhatAnotherWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(2, 6).Draw(t, "width")
		cell := rapid.StringMatching(`[A-Za-z0-9 ,;"äé\n€-]{0,12}x`)
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, width, width), 3, 20).Draw(t, "rows")
		sep := rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "separator")
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = sep
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		p := parser{text: b.String(), sep: byte(sep), line: 1}
		s, err := p.sheet()
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(rows, texts(intake.Table{Sheets: []intake.Sheet{s}})); diff != "" {
			t.Fatal(diff)
		}
	})
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{"a,b\n1,2\n", "a;\"b\"\"c\"\r\nd;e", "\xEF\xBB\xBFa\tb", "\xFF\xFEa\x00,\x00b\x00", "a\x80,b", "\"", "a\rb\r\n\n,"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := Read("f.csv", data, nil)
		if err != nil {
			if code := fault.CodeOf(err); code == fault.Internal {
				t.Fatal(err)
			}
			return
		}
		last := 0
		for _, r := range table.Sheets[0].Rows {
			if r.N <= last || r.Blank() {
				t.Fatalf("row %d after %d, blank: %v", r.N, last, r.Blank())
			}
			last = r.N
		}
	})
}

// Where decimals have a comma, as in most of Europe, as many commas may stand in every row as semicolons, or more: they part nothing.
func TestDecimalCommasPartNoCells(t *testing.T) {
	for in, want := range map[string][][]string{
		"to (ft3);0,1;0,2\nzone 1;8,21;8,36\nzone 2;8,29;8,44\n": {{"to (ft3)", "0,1", "0,2"}, {"zone 1", "8,21", "8,36"}, {"zone 2", "8,29", "8,44"}},
		"0,1;0,2\n8,21;8,36\n":         {{"0,1", "0,2"}, {"8,21", "8,36"}},
		"0,1\t0,2\n8,21\t8,36\n":       {{"0,1", "0,2"}, {"8,21", "8,36"}},
		"1,2,3\n4,5,6\n":               {{"1", "2", "3"}, {"4", "5", "6"}},
		"a,1;2\nb,3;4\n":               {{"a", "1;2"}, {"b", "3;4"}},
		"\"x, y\";1,5\n\"x, z\";2,5\n": {{"x, y", "1,5"}, {"x, z", "2,5"}},
	} {
		if diff := cmp.Diff(want, cells(t, in)); diff != "" {
			t.Errorf("%q: %s", in, diff)
		}
	}
}
