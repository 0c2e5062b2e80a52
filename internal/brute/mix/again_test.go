package mix

import (
	"reflect"
	"testing"
)

// A seed makes one problem: a test that fails can be run again, also where several plans are equally good.
func TestSeedMakesOneProblem(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for _, seed := range []uint64{336, 1, 2, 3, 4, 5, 6, 7} {
		want := Mixed(seed)
		for range 12 {
			if p := Mixed(seed); !reflect.DeepEqual(p, want) {
				t.Fatalf("problem %d is now this, now that", seed)
			}
		}
	}
}
