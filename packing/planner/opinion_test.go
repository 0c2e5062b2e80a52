package planner_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
)

// opinions are what a second opinion, a checker written from docs/formats alone by another hand, found for the
// problems of packing/testdata/opinion: sums of the best plan, or the field for which the problem is refused.
var opinions = map[string]struct {
	sums
	refused string
}{
	"soft-beside-tissue":        {sums: sums{Total: 100, Parcels: 1, Days: 100}},
	"soft-beside-tissue-stock1": {sums: sums{Total: 100, Parcels: 1, Days: 100}},
	"bound-too-high":            {sums: sums{Total: 2037, Parcels: 2, Days: 4}},
	"found-5241":                {sums: sums{Total: 1056, Parcels: 1, Days: 8}},
	"found-1028":                {sums: sums{Held: 1, Total: 418, Parcels: 1, Days: 3}}, // cover.most: 0 is no cover at all
	"cover-most-0":              {sums: sums{Held: 1}},
	"days-0":                    {sums: sums{Total: 1277, Parcels: 1}}, // there on the day itself
	"dim-step-absent":           {sums: sums{Total: 1277, Parcels: 1, Days: 5}},
	"column-empty":              {sums: sums{Total: 642, Parcels: 1, Days: 5}},
	"prefix-space":              {sums: sums{Total: 1277, Parcels: 1, Days: 5}},
	"gap-without-tissue":        {sums: sums{Total: 1277, Parcels: 1, Days: 5}}, // one copy has no gap, and needs no tissue
	"bounds-apart":              {sums: sums{Total: 1277, Parcels: 1, Days: 5}}, // from 3 to 2 copies: a rule that never holds
	"named-twice":               {sums: sums{Total: 1277, Parcels: 1, Days: 5}}, // a grade, a class and a day
	"items-twice":               {refused: "wraps[0].layers[1].items[1]"},
	"carried":                   {sums: sums{Total: 1277, Parcels: 1, Days: 5}}, // its line is called extrapolated
	"cut-2001":                  {refused: "shelf[1].cut.step"},                 // 2000 and the full one
	"copies-0":                  {refused: "orders[0].sheets[0].copies"},
	"grades-empty":              {refused: "rules[0].when.grades"},
}

// The planner, every plan tried, and the check come to what the second opinion says.
func TestSecondOpinion(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	files, err := filepath.Glob("../testdata/opinion/*.json")
	if err != nil || len(files) != len(opinions) {
		t.Fatalf("%d problems for %d opinions: %v", len(files), len(opinions), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		want, known := opinions[name]
		if !known {
			t.Fatalf("no opinion on %s", name)
		}
		t.Run(name, func(t *testing.T) {
			f, err := os.Open(file)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			p, err := packing.ReadProblem(f)
			if want.refused != "" {
				if err == nil || fault.All(err)[0].Field != want.refused {
					t.Errorf("read with %v, not refused for %s", err, want.refused)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			got := plan(t, p)
			if err := check.Plan(p, got); err != nil {
				t.Errorf("the check finds: %v", err)
			}
			if s := sumsOf(got); s != want.sums || got.Bound > want.Total {
				t.Errorf("planned %+v with bound %d, want %+v", s, got.Bound, want.sums)
			}
			if s := sumsOf(brute.New(&p).Plan()); s != want.sums {
				t.Errorf("the best of every plan is %+v, want %+v", s, want.sums)
			}
		})
	}
}
