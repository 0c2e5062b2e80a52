package planner_test

import (
	"testing"

	"solander/measure"
	"solander/packing"
	"solander/packing/check"
)

// A long order holds with a margin too: its plan is right, its bound is none above it, and the margin costs nothing less.
func TestLongOrderWithMargin(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	p := copies(20, 15)
	p.Options.ExactStates = 1
	bare := plan(t, p)
	p.Margin = packing.Margin{Grammage: 50, Caliper: 20, Parcel: measure.Ounce}
	for i := range p.Wraps {
		p.Wraps[i].Mass = 14 * measure.Gram
	}
	held := plan(t, p)
	if err := check.Plan(p, held); err != nil {
		t.Error(err)
	}
	if held.Held > 0 || held.Bound > held.Total || dearer(bare, held) && bare.Status == packing.Optimal {
		t.Errorf("held %d, total %d, bound %d; without a margin %d", held.Held, held.Total, held.Bound, bare.Total)
	}
	if bare.Held > 0 || bare.Total == 0 {
		t.Errorf("nothing was planned: %+v", bare)
	}
}
