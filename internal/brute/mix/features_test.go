package mix

import (
	"slices"
	"testing"
)

// Every two and every three features of the format that go together are drawn together, each pair often.
func TestEveryThreeFeaturesAreDrawnTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	const problems = 50_000
	n := len(Features)
	at := map[string]int{}
	for i, f := range Features {
		if _, twice := at[f]; twice {
			t.Fatalf("%s is listed twice", f)
		}
		at[f] = i
	}
	single, pairs, triples := make([]int, n), make([]int, n*n), make([]uint16, n*n*n)
	for seed := range uint64(problems) {
		p, _ := mixed(seed)
		if err := p.Check(); err != nil {
			t.Fatalf("problem %d is refused: %v", seed, err)
		}
		var has []int
		for _, f := range FeaturesOf(&p) {
			has = append(has, at[f])
		}
		slices.Sort(has)
		for i, a := range has {
			single[a]++
			for j, b := range has[i+1:] {
				pairs[a*n+b]++
				for _, c := range has[i+j+2:] {
					if k := (a*n+b)*n + c; triples[k] < 1<<16-1 {
						triples[k]++
					}
				}
			}
		}
	}
	leastPair, leastTriple := problems, problems
	missing := 0
	for a := range n {
		if single[a] == 0 {
			t.Errorf("never drawn: %s", Features[a])
		}
		for b := a + 1; b < n; b++ {
			apart := Excluded(Features[a], Features[b])
			if (pairs[a*n+b] > 0) == apart {
				t.Errorf("drawn together %d times, apart %v: %s, %s", pairs[a*n+b], apart, Features[a], Features[b])
			}
			if apart {
				continue
			}
			leastPair = min(leastPair, pairs[a*n+b])
			for c := b + 1; c < n; c++ {
				if Excluded(Features[a], Features[c]) || Excluded(Features[b], Features[c]) {
					continue
				}
				count := int(triples[(a*n+b)*n+c])
				leastTriple = min(leastTriple, count)
				if count == 0 {
					if missing++; missing < 20 {
						t.Errorf("never drawn together: %s, %s, %s", Features[a], Features[b], Features[c])
					}
				}
			}
		}
	}
	t.Logf("%d features: the rarest pair was drawn %d times, the rarest three %d times, %d threes never", n, leastPair, leastTriple, missing)
}
