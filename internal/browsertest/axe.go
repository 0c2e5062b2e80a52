package browsertest

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// Violation is one rule of accessibility that the page breaks, as axe-core tells it.
type Violation struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  []struct {
		HTML    string   `json:"html"`
		Target  []string `json:"target"`
		Summary string   `json:"failureSummary"`
	} `json:"nodes"`
}

// String tells the rule and each place that breaks it.
func (v Violation) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s): %s", v.ID, v.Impact, v.Help)
	for _, n := range v.Nodes {
		fmt.Fprintf(&b, "\n\t%s %s\n\t%s", strings.Join(n.Target, " "), clip(n.HTML), strings.ReplaceAll(n.Summary, "\n", "\n\t"))
	}
	return b.String()
}

// axeScript is where npm puts axe-core, pinned by the lock file beside it.
const axeScript = "tools/web/node_modules/axe-core/axe.min.js"

// Axe runs axe-core on the page: the rules of WCAG 2.0 to 2.2, levels A and AA, and good practice.
// JavaScript must be on.
func (p *Page) Axe() []Violation {
	p.t.Helper()
	if !Eval[bool](p, "typeof axe === 'object'") { // a page that is looked at several times keeps it
		script, err := os.ReadFile(filepath.Join(Root(p.t), axeScript))
		if err != nil {
			p.t.Fatalf("browsertest: %v\nmake test installs it: npm ci in tools/web", err)
		}
		Eval[bool](p, string(script)+";\ntypeof axe === 'object'")
	}
	result := Eval[struct {
		Violations []Violation `json:"violations"`
		Passes     int         `json:"passes"`
	}](p, `axe.run(document, {
		runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
		resultTypes: ["violations"], // of the others it then tells the rules, and not each place
	})
		.then(r => ({violations: r.violations, passes: r.passes.length}))`)
	if result.Passes == 0 && len(result.Violations) == 0 {
		p.t.Fatal("browsertest: axe found no rule that applies to this page: nothing was checked")
	}
	return result.Violations
}

// MustBeAccessible fails the test, and lets it go on, for each violation that Axe finds.
func (p *Page) MustBeAccessible() {
	p.t.Helper()
	for _, v := range p.Axe() {
		p.t.Errorf("%s: %s", p.URL(), v)
	}
}
