package onesheet

import (
	"math/rand/v2"
	"testing"
)

// Numbers within words are added as numbers are, also where they need several words, and no sum over the most is
// allowed.
func TestFieldsAddAsNumbersDo(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	allowed, refused, long := 0, 0, 0
	for range 2000 {
		most := make([]int, 1+r.IntN(40))
		for i := range most {
			most[i] = []int{0, 1, 1, 2, 3, 7, 8, mostCopies}[r.IntN(8)]
		}
		f := newFields(most)
		long += min(1, f.words-1)
		sum, have, ok := make([]uint64, f.words), make([]int, len(most)), true
		for range 3 * len(most) {
			k := r.IntN(len(most))
			if r.IntN(2) > 0 { // twice as many of all, as a rectangle with itself
				next := make([]uint64, f.words)
				ok = f.add(sum, sum, next)
				sum = next
				for i := range have {
					have[i] *= 2
				}
			} else {
				next := make([]uint64, f.words)
				ok = f.add(sum, f.one(k), next)
				sum = next
				have[k]++
			}
			want := true
			for i, n := range have {
				want = want && (n <= most[i] || most[i] == 0 && n < mostCopies)
			}
			if ok != want {
				t.Fatalf("%v of at most %v: %v", have, most, ok)
			}
			if !ok {
				refused++
				break
			}
			allowed++
			for i, n := range have {
				if got := int(sum[f.at[i]/64]>>(f.at[i]%64)) & (1<<17 - 1); most[i] == mostCopies && got != n {
					t.Fatalf("%v of at most %v: %d of kind %d", have, most, got, i)
				}
			}
		}
	}
	if allowed < 1000 || refused < 1000 || long < 500 {
		t.Errorf("%d allowed, %d refused, %d of several words", allowed, refused, long)
	}
}
