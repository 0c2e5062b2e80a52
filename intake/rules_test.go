package intake_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"solander/intake"
)

// Every rule, field, meaning and kind of fact that the code names stands in the page about mappings.
func TestPageNamesEveryRule(t *testing.T) {
	page, err := os.ReadFile(formats + "mapping.md")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range intake.Fields() {
		names = append(names, string(f))
	}
	for _, m := range intake.Meanings() {
		names = append(names, string(m))
	}
	rule := regexp.MustCompile(`(?:[tT]rouble\{|Rule: |FactKind = |rule, why = |finding\()"([a-z.-]+)"`)
	for _, pattern := range []string{"*.go", "*/*.go"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			b, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range rule.FindAllStringSubmatch(string(b), -1) {
				names = append(names, m[1])
			}
		}
	}
	if len(names) < 100 {
		t.Fatalf("only %d names found: nothing was tested", len(names))
	}
	for _, n := range names {
		if n != "" && !strings.Contains(string(page), "`"+n+"`") {
			t.Errorf("mapping.md does not name %s", n)
		}
	}
}
