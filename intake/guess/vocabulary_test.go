package guess

import (
	"slices"
	"strings"
	"testing"

	"solander/intake"
)

// Each word of the table leads to its field by itself, or to one that shares the word.
func TestForeignHeadings(t *testing.T) {
	shared := map[string][]intake.Field{}
	for _, v := range headingWords {
		for _, w := range v.words {
			shared[w] = append(shared[w], v.field)
		}
	}
	n := 0
	for _, f := range foreignWords {
		if f.source != fromForms && f.source != fromInvoices && f.source != fromPractice {
			t.Errorf("%s has the source %q", f.field, f.source)
		}
		for _, w := range strings.Split(f.words, "|") {
			n++
			if !slices.Contains(shared[intake.Fold(w)], f.field) {
				t.Errorf("%q is not known as %s", w, f.field)
			}
			if len(shared[intake.Fold(w)]) > 3 {
				t.Errorf("%q is in %v: it says nothing", w, shared[intake.Fold(w)])
			}
		}
	}
	if n < 250 {
		t.Errorf("only %d words: nothing was tested", n)
	}
}
