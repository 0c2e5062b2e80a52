package pointer

import (
	"encoding/json"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
)

// rfc6901 is the document of RFC 6901, 5.
const rfc6901 = `{"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8}`

func document(t *testing.T, text string) any {
	t.Helper()
	doc, err := Document([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// Source: RFC 6901, 5 (read): each pointer and what it evaluates to; 6 (from memory): the same as fragments.
func TestExamplesOfTheStandard(t *testing.T) {
	doc := document(t, rfc6901)
	for _, c := range []struct{ text, fragment, want string }{
		{"", "#", rfc6901},
		{"/foo", "#/foo", `["bar", "baz"]`},
		{"/foo/0", "#/foo/0", `"bar"`},
		{"/", "#/", "0"},
		{"/a~1b", "#/a~1b", "1"},
		{"/c%d", "#/c%25d", "2"},
		{"/e^f", "#/e%5Ef", "3"},
		{"/g|h", "#/g%7Ch", "4"},
		{`/i\j`, "#/i%5Cj", "5"},
		{`/k"l`, "#/k%22l", "6"},
		{"/ ", "#/%20", "7"},
		{"/m~0n", "#/m~0n", "8"},
	} {
		p, ok := Parse(c.text)
		if !ok || p.String() != c.text || p.Fragment() != c.fragment {
			t.Errorf("%q is read as %q, %q, %v", c.text, p, p.Fragment(), ok)
			continue
		}
		if back, ok := parseFragment(c.fragment); !ok || back.String() != c.text {
			t.Errorf("%s is read as %q", c.fragment, back)
		}
		got, ok := p.In(doc)
		if diff := cmp.Diff(document(t, c.want), got); !ok || diff != "" {
			t.Errorf("%q: %v %s", c.text, ok, diff)
		}
	}
}

func TestPointersThatPointAtNothing(t *testing.T) {
	doc := document(t, `{"foo": ["bar", "baz"], "n": 1}`)
	for _, text := range []string{"/bar", "/foo/2", "/foo/-", "/foo/01", "/foo/+1", "/foo/x", "/foo/0/a", "/n/0", "/foo/99999999999", "//foo"} {
		p, ok := Parse(text)
		if !ok {
			t.Errorf("%q is not read", text)
		}
		if v, ok := p.In(doc); ok {
			t.Errorf("%q points at %v", text, v)
		}
	}
	for _, text := range []string{"foo", "#/foo", "/~", "/~2", "/a~", " /a"} {
		if p, ok := Parse(text); ok {
			t.Errorf("%q is read as %q", text, p)
		}
	}
}

func TestPathsOfFaults(t *testing.T) {
	doc := document(t, `{"lines": [{"price": 1, "a.b": {"c": 1}}], "x[0]": 1, "a/b": {}}`)
	for path, want := range map[string]string{
		"":                  "",
		"lines":             "/lines",
		"lines[0].price":    "/lines/0/price",
		"lines[0].a.b.c":    "/lines/0/a.b/c",
		"lines[3].edition":  "/lines/3/edition",
		"x[0]":              "/x[0]",
		"ship_to.postcode":  "/ship_to/postcode",
		"a/b.more":          "/a~1b/more",
		"buyer.name.family": "/buyer/name/family",
	} {
		if got := Of(path, doc).String(); got != want {
			t.Errorf("%s becomes %s, want %s", path, got, want)
		}
	}
}

func TestDocumentsThatAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":                             "ends too early",
		"{":                            "ends too early",
		`{"a": 1,}`:                    "not JSON",
		`{"a": 1} 2`:                   "follows",
		`{"a": 1, "b": 2, "a": 3}`:     "twice",
		`{"a": {"b": 1, "\u0062": 2}}`: "twice",
		"\"\xff\"":                     "UTF-8",
		strings.Repeat("[", 80) + strings.Repeat("]", 80): "deeply",
		`{1: 2}`: "not JSON",
		`nul`:    "not JSON",
	} {
		doc, err := Document([]byte(text))
		if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), want) {
			t.Errorf("%.40q: %v, %v", text, doc, err)
		}
	}
}

func TestNumbersKeepTheirDigits(t *testing.T) {
	doc := document(t, `[1.10, 100000000000000000000001, 1e2]`)
	want := []any{json.Number("1.10"), json.Number("100000000000000000000001"), json.Number("1e2")}
	if diff := cmp.Diff(want, doc); diff != "" {
		t.Error(diff)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"", "/", "/foo/0", "/a~1b", "/m~0n", "/~", "x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, ok := Parse(s)
		if !ok {
			return
		}
		if p.String() != s {
			t.Errorf("%q comes back as %q", s, p)
		}
		if back, ok := parseFragment(p.Fragment()); !ok || back.String() != s {
			t.Errorf("%q comes back from %s as %q", s, p.Fragment(), back)
		}
	})
}

// parseFragment reads what Fragment writes.
func parseFragment(text string) (Pointer, bool) {
	rest, ok := strings.CutPrefix(text, "#")
	if !ok {
		return nil, false
	}
	plain, err := url.PathUnescape(rest)
	if err != nil {
		return nil, false
	}
	return Parse(plain)
}
