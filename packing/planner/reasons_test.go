package planner_test

import (
	"context"
	"strings"
	"testing"
)

// A studio that measures in inches reads inches in every reason, although the thickness of a roll or of a
// stack is tidy in neither system: a sum in two systems cannot be checked by eye.
func TestReasonsKeepToOneSystem(t *testing.T) {
	p := day(t, 12)
	most := 200
	p.Options.RejectedMost, p.Wraps[3].Core = &most, 77*mm // no roll fits the tube of three inches
	tubes := 0
	for _, x := range planWith(t, context.Background(), p).Rejected {
		text := x.Reason.Text + " "
		if strings.Contains(text, " in ") && strings.Contains(text, " mm ") {
			t.Errorf("%s: %s", x.Reason.Rule, text)
		}
		if x.Reason.Rule == "tube.diameter" {
			tubes++
		}
	}
	if tubes == 0 {
		t.Error("no roll was too thick for a tube: nothing was tried")
	}
}
