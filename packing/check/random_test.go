package check_test

import (
	"sync"
	"sync/atomic"
	"testing"

	"solander/internal/brute"
	"solander/internal/brute/mix"
	"solander/packing"
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
				p := brute.Any(uint64(seed))
				if seed%4 >= 2 { // half of them of features drawn together
					p = mix.Mixed(uint64(seed))
				}
				if !do(uint64(seed), &p, brute.New(&p)) {
					failed.Store(true)
				}
			}
		})
	}
	wg.Wait()
}
