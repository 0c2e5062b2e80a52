package solander_test

import (
	"go/ast"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"
)

// oneWord lists words that people read for one thing, by the table of words in ARCHITECTURE.md: beside each the word that also stood for it, and is
// not used. Source of "operator" for who carries a parcel: Universal Postal Convention, article 1 ("designated operator"), and the field of a
// price card (docs/formats/tariff.md).
var oneWord = map[string]*regexp.Regexp{
	"operator": regexp.MustCompile(`(?i)\bcarriers?\b`),
}

// Pages, papers, commands, faults and docs say one word for one thing.
func TestOneWordForOneThing(t *testing.T) {
	pages, said := 0, 0
	look := func(where, text string) {
		for word, other := range oneWord {
			if at := other.FindString(text); at != "" {
				t.Errorf("%s says %q for what is called %q everywhere else: %.120q", where, at, word, text)
			}
		}
	}
	err := fs.WalkDir(os.DirFS("."), ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && p != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules" || d.Name() == "testdata" && !strings.HasPrefix(p, "cli")) {
			return fs.SkipDir
		}
		story := path.Dir(p) == "cli/testdata" && path.Ext(p) == ".txt"
		if !d.IsDir() && (path.Ext(p) == ".md" || path.Ext(p) == ".html" || story) {
			b, err := os.ReadFile(p)
			if err != nil {
				return err
			}
			pages++
			for _, line := range strings.Split(string(b), "\n") {
				look(p, line)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, files := range house(t) {
		for _, f := range files {
			ast.Inspect(f.syntax, func(n ast.Node) bool {
				if x, ok := n.(*ast.BasicLit); ok && x.Kind == token.STRING {
					said++
					look(f.path, x.Value)
				}
				return true
			})
		}
	}
	if pages < 100 || said < 10_000 {
		t.Errorf("only %d pages and %d texts of the program were looked at", pages, said)
	}
}
