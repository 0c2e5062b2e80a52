package planner_test

import (
	"os"
	"strings"
	"testing"
)

// The mistakes that make mutate makes can be made: each text is in its file, once. So a change of the planner
// cannot quietly leave one out.
func TestMistakesCanBeMade(t *testing.T) {
	for _, m := range mutations {
		text, err := os.ReadFile("../../" + m.file)
		if err != nil {
			t.Errorf("%s: %v", m.name, err)
			continue
		}
		if n := strings.Count(string(text), m.old); n != 1 || m.old == m.wrong {
			t.Errorf("%s: %s holds %q %d times, not once", m.name, m.file, m.old, n)
		}
	}
}
