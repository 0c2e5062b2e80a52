package movein

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/intake"
	"solander/movein"
)

// TestTrialIsWrittenWhole holds that a trial written order by order is the same JSON as written at once, whatever its texts hold.
func TestTrialIsWrittenWhole(t *testing.T) {
	for _, n := range []int{0, 1, 3} {
		tr := movein.FileTrial{Seen: "x", Declarations: []movein.Declaration{}}
		tr.Name, tr.Mapping, tr.Proposals = `"proposals":[] of "proposals":[]`, `\"proposals":[]`, []intake.Proposal{}
		for range n {
			tr.Proposals = append(tr.Proposals, intake.Proposal{ID: `"proposals":[]`, Note: "\u2028<b>"})
		}
		var got bytes.Buffer
		if err := writeTrial(&got, tr); err != nil {
			t.Fatal(err)
		}
		whole, err := json.Marshal(tr)
		if err != nil {
			t.Fatal(err)
		}
		var a, b any
		if err := json.Unmarshal(got.Bytes(), &a); err != nil {
			t.Fatalf("%v: %s", err, got.Bytes())
		}
		if err := json.Unmarshal(whole, &b); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(b, a); diff != "" {
			t.Errorf("%d orders (-at once +one by one):\n%s", n, diff)
		}
	}
}
