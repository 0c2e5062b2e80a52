package planner_test

import (
	"bytes"
	"flag"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/packing"
	"solander/packing/check"
)

var update = flag.Bool("update", false, "write the plans of the examples anew")

// The plans beside the examples are what the planner answers, byte for byte, and the check passes them.
func TestExamplePlans(t *testing.T) {
	for _, name := range []string{"one-print", "a-day"} {
		p := readProblem(t, name+".json")
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		var text bytes.Buffer
		if err := packing.WritePlan(&text, got); err != nil {
			t.Fatal(err)
		}
		file := "../../docs/formats/examples/" + name + ".plan.json"
		if *update {
			if err := os.WriteFile(file, text.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), text.String()); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}
