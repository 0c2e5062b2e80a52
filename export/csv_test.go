package export

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func write(t interface{ Fatal(...any) }, rows [][]string) string {
	var b strings.Builder
	w := NewWriter(&b, ',')
	for _, r := range rows {
		if err := w.Write(r...); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func read(text string) (rows [][]string, err error) {
	r := NewReader(strings.NewReader(text), ',')
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return rows, err
		}
		rows = append(rows, row)
	}
}

// Source: RFC 4180, section 2, the examples of rules 1 to 7.
func TestRFC4180(t *testing.T) {
	for name, tc := range map[string]struct {
		text string
		want [][]string
	}{
		"1":                    {"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
		"2, no last line end":  {"aaa,bbb,ccc\r\nzzz,yyy,xxx", [][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
		"3, a head":            {"field_name,field_name,field_name\r\naaa,bbb,ccc\r\n", [][]string{{"field_name", "field_name", "field_name"}, {"aaa", "bbb", "ccc"}}},
		"5, quotes":            {"\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", [][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
		"6, a line end within": {"\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", [][]string{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
		"7, doubled quotes":    {`"aaa","b""bb","ccc"`, [][]string{{"aaa", `b"bb`, "ccc"}}},
		"empty cells":          {",\r\n\"\"\r\n", [][]string{{"", ""}, {""}}},
		"byte order mark":      {"\ufeffa,b\n", [][]string{{"a", "b"}}},
	} {
		got, err := read(tc.text)
		if diff := cmp.Diff(tc.want, got); diff != "" || err != nil {
			t.Errorf("%s: %v %s", name, err, diff)
		}
		if again, err := read(write(t, got)); err != nil || !cmp.Equal(again, tc.want) {
			t.Errorf("%s: written and read again it is %q: %v", name, again, err)
		}
	}
	for _, bad := range []string{`"a`, `"a"b`, `a"b`, "\"a\"\r\"b\"\n", "x\r\n\"a\r\n"} {
		if rows, err := read(bad); err == nil {
			t.Errorf("%q was read as %q", bad, rows)
		}
	}
	if got := write(t, [][]string{{"a", "b,c", "d\"e", "f\ng"}}); got != "a,\"b,c\",\"d\"\"e\",\"f\ng\"\r\n" {
		t.Errorf("written as %q", got)
	}
}

// Whatever stands in the cells: our reader gives it back, and so does the standard library's, which knows no
// carriage return before a line feed.
func TestAllIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(1, 4).Draw(t, "width")
		cell := rapid.OneOf(rapid.StringMatching("[a\",;'=+@\\-\t\r\n\ufeff ]{0,4}"), rapid.String())
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, width, width), 1, 4).Draw(t, "rows")
		text := write(t, rows)
		got, err := read(text)
		if err != nil || !cmp.Equal(rows, got) {
			t.Fatalf("%q was read as %q: %v", text, got, err)
		}
		if strings.Contains(text, "\r\n") && strings.Contains(strings.Join(flat(rows), ""), "\r") {
			return
		}
		std := csv.NewReader(strings.NewReader(text))
		theirs, err := std.ReadAll()
		if err != nil || !cmp.Equal(rows, theirs) {
			t.Fatalf("the standard library reads %q as %q: %v", text, theirs, err)
		}
	})
}

func flat(rows [][]string) (out []string) {
	for _, r := range rows {
		out = append(out, r...)
	}
	return out
}

// Source: OWASP, "CSV Injection": = + - @, tab and carriage return start a formula; from memory.
func TestFormulasAreNeutralised(t *testing.T) {
	for in, want := range map[string]string{
		"=1+1": "'=1+1", "+49 30": "'+49 30", "-5": "'-5", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r=1": "'\r=1", "\n=1": "'\n=1", "＝1": "'＝1",
		"'": "''", "'=1": "''=1", "": "", "a=1": "a=1", " =1": " =1", "é": "é", "\xff": "\xff",
	} {
		if got := Guard(in); got != want || Unguard(got) != in {
			t.Errorf("%q is written %q and read %q, want %q", in, got, Unguard(got), want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		if g := Guard(s); Unguard(g) != s || g != "" && strings.ContainsAny(g[:1], "=+-@\t\r\n") {
			t.Fatalf("%q is written %q", s, g)
		}
	})
}

func FuzzReader(f *testing.F) {
	f.Add("a,\"b\r\n\"\"c\"\r\nd,e")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := read(text)
		if err != nil {
			return
		}
		if again, err := read(write(t, rows)); err != nil || len(rows) > 0 && !strings.HasPrefix(rows[0][0], "\ufeff") && !cmp.Equal(rows, again) {
			t.Fatalf("%q: %q, then %q, %v", text, rows, again, err)
		}
	})
}
