package check_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// leaf is one value of a plan written as JSON, with the way to it.
type leaf struct {
	path []string // names of fields; lists leave no trace
	get  any
	set  func(any)
}

func leaves(path []string, v any, set func(any)) []leaf {
	var out []leaf
	switch v := v.(type) {
	case map[string]any:
		for _, k := range slices.Sorted(maps.Keys(v)) {
			out = append(out, leaves(append(slices.Clone(path), k), v[k], func(n any) { v[k] = n })...)
		}
	case []any:
		for i := range v {
			out = append(out, leaves(path, v[i], func(n any) { v[i] = n })...)
		}
	default:
		out = append(out, leaf{path, v, set})
	}
	return out
}

// free reports whether a value may be other than it is, or cannot be told wrong: words; which option of
// several it was that was rejected, and for which of two like parcels; which reason holds an order; where in a
// tier a sheet lies.
func (l leaf) free() bool {
	has := func(name string) bool { return slices.Contains(l.path, name) }
	return has("text") || has("rejected") && !has("looks") && !has("order") ||
		has("orders") && (has("reason") || has("sheet")) ||
		has("mat") && (has("x") || has("y")) // a sheet may lie a little further along
}

// other is another value of the same type.
func other(d *rand.Rand, v any, all []leaf) any {
	switch v := v.(type) {
	case bool:
		return !v
	case json.Number:
		n, _ := v.Int64()
		return []int64{n + 1, n - 1, -n - 1, 0, 1 << 40, -1 << 62, 1<<62 + 1}[d.IntN(7)]
	case string:
		if s, text := all[d.IntN(len(all))].get.(string); text && d.IntN(2) == 0 {
			return s
		}
		return v + "?"
	}
	return v
}

// Any one value changed is found, except where free; and no plan at all, however odd, makes the checker
// stumble.
func TestAnyOneValueChangedIsFound(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	changed := 0
	for seed := range uint64(1000) {
		d := rand.New(rand.NewPCG(seed, 1))
		p := brute.Any(seed)
		plan, err := planner.Plan(t.Context(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		for range 4 {
			tree := asTree(t, plan)
			all := leaves(nil, tree, nil)
			l := all[d.IntN(len(all))]
			now := other(d, l.get, all)
			l.set(now)
			spoilt, ok := fromTree(tree)
			if !ok || same(t, plan, spoilt) {
				continue // not a plan any more: no number, no day; or nothing has changed
			}
			if l.free() {
				_ = check.Plan(p, spoilt)
				continue
			}
			changed++
			if check.Plan(p, spoilt) == nil {
				t.Errorf("problem %d: %v from %v to %v passes", seed, l.path, l.get, now)
			}
		}
		tree := asTree(t, plan)
		for range 6 { // several at once
			all := leaves(nil, tree, nil)
			l := all[d.IntN(len(all))]
			l.set(other(d, l.get, all))
		}
		if odd, ok := fromTree(tree); ok {
			_ = check.Plan(p, odd)
		}
	}
	if changed < 1500 {
		t.Errorf("only %d values were changed", changed)
	}
}

func asTree(t *testing.T, plan packing.Plan) any {
	t.Helper()
	text, err := json.Marshal(plan)
	if err != nil {
		t.Fatal(err)
	}
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	var tree any
	if err := dec.Decode(&tree); err != nil {
		t.Fatal(err)
	}
	return tree
}

func fromTree(tree any) (packing.Plan, bool) {
	text, err := json.Marshal(tree)
	if err != nil {
		return packing.Plan{}, false
	}
	var plan packing.Plan
	err = json.Unmarshal(text, &plan)
	return plan, err == nil
}

func same(t *testing.T, a, b packing.Plan) bool {
	return fmt.Sprint(asTree(t, a)) == fmt.Sprint(asTree(t, b))
}
