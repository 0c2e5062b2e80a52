package planner_test

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/internal/brute"
	"solander/packing"
)

// The same problem gives the same plan, byte for byte, on every processor: also where floats lead the search, as they do
// for long orders and scarce packaging. make arm runs this for arm64. After a change of the search that is meant, write
// the digests anew: go test ./packing/planner -run TestSamePlansOnEveryProcessor -update
func TestSamePlansOnEveryProcessor(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	problems := map[string]packing.Problem{
		"60 sheets of 60 kinds": gallery(60), "60 sheets, 6 to a parcel": few(60, 6), "100 sheets of 4 kinds": fours(25),
		"40 orders, 8 scarce kinds": scarceKinds(40, 8), "8 cards side by side": many(8, 1), "copies": copies(12, 12, 12, 6),
	}
	for seed := range uint64(40) {
		problems[fmt.Sprintf("random %d", seed)] = brute.Random(seed)
	}
	got := map[string]string{}
	for name, p := range problems {
		b, err := json.Marshal(plan(t, p))
		if err != nil {
			t.Fatal(err)
		}
		got[name] = fmt.Sprintf("%x", sha256.Sum256(b))
	}
	const file = "testdata/digests.json"
	if *update {
		b, err := json.MarshalIndent(got, "", "\t")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, append(b, '\n'), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{}
	if err := json.Unmarshal(b, &want); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
