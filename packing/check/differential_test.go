package check_test

import (
	"encoding/json"
	"sync"
	"sync/atomic"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
)

// problems is how many random problems are planned and checked.
const problems = 10_000

// random calls do with every random problem from a number on, on two goroutines, until one fails.
func random(t *testing.T, count int, do func(seed uint64, p *packing.Problem, s *brute.Search) bool) {
	t.Helper()
	var wg sync.WaitGroup
	var failed atomic.Bool
	for lane := range 2 {
		wg.Go(func() {
			for seed := lane; seed < count && !failed.Load(); seed += 2 {
				p := brute.Random(uint64(seed))
				if !do(uint64(seed), &p, brute.New(&p)) {
					failed.Store(true)
				}
			}
		})
	}
	wg.Wait()
}

// show prints a problem so that it can be planned by itself.
func show(t *testing.T, seed uint64, p *packing.Problem) {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("problem %d: %s", seed, text)
}

func TestOraclesPlansAreRight(t *testing.T) {
	random(t, problems, func(seed uint64, p *packing.Problem, s *brute.Search) bool {
		if err := p.Check(); err != nil {
			t.Errorf("problem %d is refused: %v", seed, err)
			return false
		}
		if err := check.Plan(*p, s.Plan()); err != nil {
			t.Errorf("problem %d: %v", seed, err)
			return false
		}
		return true
	})
}
