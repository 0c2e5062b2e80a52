package web

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	cssComment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	cssText    = regexp.MustCompile(`url\([^)]*\)|"[^"]*"`)
	cssBlock   = regexp.MustCompile(`\{[^{}]*\}`)
	cssClass   = regexp.MustCompile(`\.([a-zA-Z][\w-]*)`)
)

// Every class that a style sheet names is drawn by a template, or named by the code behind it: no rule outlives what it was
// made for. A class that ends in what a page says ("shade-" and a state) is known by its beginning.
func TestNoRuleIsDead(t *testing.T) {
	t.Parallel()
	var drawn strings.Builder
	for _, of := range []string{"templates", ".", "../papers"} {
		err := filepath.WalkDir(of, func(file string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(file, "_test.go") || !strings.HasSuffix(file, ".go") && !strings.HasSuffix(file, ".html") {
				return err
			}
			text, err := os.ReadFile(file)
			drawn.Write(text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	sheets, err := filepath.Glob("static/*.css")
	if err != nil || len(sheets) < 2 {
		t.Fatalf("%d style sheets: %v", len(sheets), err)
	}
	named := 0
	for _, sheet := range sheets {
		text, err := os.ReadFile(sheet)
		if err != nil {
			t.Fatal(err)
		}
		selectors := cssBlock.ReplaceAllString(cssText.ReplaceAllString(cssComment.ReplaceAllString(string(text), ""), ""), "{}")
		for _, m := range cssClass.FindAllStringSubmatch(selectors, -1) {
			named++
			begins, _, composed := strings.Cut(m[1], "-")
			if used := regexp.MustCompile(`[\s"'` + "`" + `.]` + m[1] + `[\s"'` + "`" + `<{.]`).MatchString(drawn.String()); !used && !(composed && strings.Contains(drawn.String(), begins+"-{{")) {
				t.Errorf("%s has a rule for .%s, which nothing draws", sheet, m[1])
			}
		}
	}
	if named < 200 {
		t.Errorf("only %d classes were looked at", named)
	}
}
