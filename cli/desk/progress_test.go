package desk

import (
	"strings"
	"testing"
)

func TestABarFills(t *testing.T) {
	for _, tc := range []struct{ done, all, full int }{{0, 4, 0}, {1, 4, 7}, {2, 4, 15}, {4, 4, 30}, {9, 4, 30}} {
		line := barLine("planning", tc.done, tc.all, 0)
		if got := strings.Count(line, "#"); got != tc.full || strings.Count(line, ".") != barWidth-tc.full {
			t.Errorf("%d of %d: %d of %d filled: %s", tc.done, tc.all, got, barWidth, line)
		}
	}
	if a, b := barLine("cutting", 0, 0, 3), barLine("cutting", 0, 0, 4); a == b || len(a) != len(b) {
		t.Errorf("a bar of unknown length stands still: %q, %q", a, b)
	}
}

func TestNoBarOnWhatIsNoScreen(t *testing.T) {
	var out strings.Builder
	tell, done := (&Desk{Err: &out}).Progress("planning")
	if tell != nil {
		t.Error("it would draw into a file")
	}
	done()
	if out.Len() > 0 {
		t.Errorf("it drew %q", out.String())
	}
}
