package bins

import (
	"context"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"solander/fault"
)

func pack(t *testing.T, ctx context.Context, capacity int64, sizes []int64) Packing {
	t.Helper()
	p, err := Pack(ctx, capacity, sizes)
	if err != nil {
		t.Fatal(err)
	}
	seen := make([]bool, len(sizes))
	for _, bin := range p.Bins {
		sum := int64(0)
		for _, i := range bin {
			if seen[i] {
				t.Fatalf("size %d lies twice", i)
			}
			seen[i] = true
			sum += sizes[i]
		}
		if sum > capacity || len(bin) == 0 {
			t.Fatalf("a bin of %d holds %d", capacity, sum)
		}
	}
	if slices.Contains(seen, false) || p.Bound > len(p.Bins) || p.Proven != (p.Bound == len(p.Bins)) {
		t.Fatalf("%v: not all of %v, or bound %d", p.Bins, sizes, p.Bound)
	}
	return p
}

// Source: OR-Library (J. E. Beasley): t60_00 of E. Falkenauer, "A hybrid grouping genetic algorithm for bin
// packing", 1996. 60 sizes, capacity 1000, optimum 20, recomputed; best fit decreasing needs 23.
func TestTriplets(t *testing.T) {
	b, err := os.ReadFile("testdata/t60_00.txt")
	if err != nil {
		t.Fatal(err)
	}
	var sizes []int64
	for _, f := range strings.Fields(string(b)) {
		n, err := strconv.ParseInt(f, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		sizes = append(sizes, n)
	}
	if len(sizes) != 60 {
		t.Fatalf("%d sizes were read, not 60", len(sizes))
	}
	sorted := slices.Clone(sizes)
	slices.SortFunc(sorted, func(a, b int64) int { return int(b - a) })
	if n := len(bestFit(1000, sorted)); n != 23 {
		t.Errorf("best fit decreasing needs %d bins, not 23", n)
	}
	start := time.Now()
	if p := pack(t, context.Background(), 1000, sizes); len(p.Bins) != 20 || !p.Proven {
		t.Errorf("%d bins, bound %d; want 20", len(p.Bins), p.Bound)
	}
	t.Log(time.Since(start))
}

// triplets makes sizes as that family is described: of each three, the first from 380 to 490, the second
// from 250 to half of what is left, and the third fills the bin of 1000.
func triplets(r *rand.Rand, n int) []int64 {
	var out []int64
	for range n / 3 {
		a := 380 + r.Int64N(111)
		b := 250 + r.Int64N((1000-a)/2-250+1)
		out = append(out, a, b, 1000-a-b)
	}
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

func TestFamilies(t *testing.T) {
	for _, n := range []int{60, 120, 249, 501}[:4/min(slow, 4)] {
		for seed := range uint64(4) {
			r := rand.New(rand.NewPCG(seed, uint64(n)))
			sizes := triplets(r, n)
			start := time.Now()
			p := pack(t, context.Background(), 1000, sizes)
			t.Logf("t%d %d: %d of %d in %v", n, seed, len(p.Bins), p.Bound, time.Since(start))
			if len(p.Bins) != n/3 {
				t.Errorf("t%d %d: %d bins, want %d", n, seed, len(p.Bins), n/3)
			}
		}
	}
	for _, n := range []int{120, 250, 500, 1000}[:4/min(slow, 4)] {
		for seed := range uint64(4) {
			r := rand.New(rand.NewPCG(seed, uint64(n)))
			sizes := make([]int64, n)
			for i := range sizes {
				sizes[i] = 20 + r.Int64N(81)
			}
			start := time.Now()
			p := pack(t, context.Background(), 150, sizes)
			t.Logf("u%d %d: %d of %d in %v", n, seed, len(p.Bins), p.Bound, time.Since(start))
			if len(p.Bins) > p.Bound {
				t.Errorf("u%d %d: %d bins, bound %d", n, seed, len(p.Bins), p.Bound)
			}
		}
	}
}

// everyWay tries each size in every bin.
func everyWay(capacity int64, sizes []int64) int {
	best := len(sizes)
	var free []int64
	var at func(i int)
	at = func(i int) {
		if len(free) >= best {
			return
		}
		if i == len(sizes) {
			best = len(free)
			return
		}
		for b := range free {
			if free[b] >= sizes[i] {
				free[b] -= sizes[i]
				at(i + 1)
				free[b] += sizes[i]
			}
		}
		free = append(free, capacity-sizes[i])
		at(i + 1)
		free = free[:len(free)-1]
	}
	at(0)
	return best
}

func TestAgreesWithEveryWay(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	searched := 0
	for range 4000 / slow {
		capacity := 5 + r.Int64N(60)
		sizes := make([]int64, 1+r.IntN(10))
		for i := range sizes {
			sizes[i] = 1 + r.Int64N(min(capacity, capacity*2/3+1))
		}
		want := everyWay(capacity, sizes)
		if AtLeast(capacity, sizes) < want {
			searched++
		}
		p := pack(t, context.Background(), capacity, sizes)
		if len(p.Bins) != want || !p.Proven {
			t.Fatalf("%v into %d: %d bins, bound %d; want %d", sizes, capacity, len(p.Bins), p.Bound, want)
		}
	}
	if searched < 20/slow {
		t.Fatalf("only %d packings needed a search for their proof", searched)
	}
}

func TestLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 300 {
		capacity := 20 + r.Int64N(80)
		sizes := make([]int64, 2+r.IntN(20))
		for i := range sizes {
			sizes[i] = 1 + r.Int64N(capacity)
		}
		ctx := context.Background()
		n := len(pack(t, ctx, capacity, sizes).Bins)
		scaled := slices.Clone(sizes)
		for i := range scaled {
			scaled[i] *= 28_349_523_125
		}
		if m := len(pack(t, ctx, capacity*28_349_523_125, scaled).Bins); m != n {
			t.Fatalf("scaled: %d bins, not %d", m, n)
		}
		slices.Reverse(sizes)
		if m := len(pack(t, ctx, capacity, sizes).Bins); m != n {
			t.Fatalf("in another order: %d bins, not %d", m, n)
		}
		if m := len(pack(t, ctx, capacity+1, sizes).Bins); m > n {
			t.Fatalf("with more capacity: %d bins, before %d", m, n)
		}
		if m := len(pack(t, ctx, capacity, sizes[1:]).Bins); m > n || m < n-1 {
			t.Fatalf("with one size less: %d bins, before %d", m, n)
		}
	}
}

func TestOneUnitDecides(t *testing.T) {
	ctx := context.Background()
	if n := len(pack(t, ctx, 1000, []int64{500, 500, 334, 333, 333}).Bins); n != 2 {
		t.Errorf("%d bins", n)
	}
	if n := len(pack(t, ctx, 999, []int64{500, 500, 334, 333, 333}).Bins); n != 3 {
		t.Errorf("with one less: %d bins", n)
	}
}

func TestBadInput(t *testing.T) {
	for i, c := range []struct {
		capacity int64
		sizes    []int64
		code     fault.Code
	}{{0, nil, fault.Invalid}, {5, []int64{0}, fault.Invalid}, {5, []int64{6}, fault.Refused}, {5, make([]int64, mostSizes+1), fault.TooLarge}} {
		if _, err := Pack(context.Background(), c.capacity, c.sizes); !fault.Is(err, c.code) {
			t.Errorf("%d: %v", i, err)
		}
	}
	if p := pack(t, context.Background(), 5, nil); len(p.Bins) != 0 || !p.Proven {
		t.Errorf("nothing to pack: %+v", p)
	}
}

func TestCancelledAnswersSoon(t *testing.T) {
	sizes := triplets(rand.New(rand.NewPCG(1, 1)), 501)
	sizes[0]-- // one short: harder
	for _, after := range []time.Duration{0, 20 * time.Millisecond} {
		ctx, cancel := context.WithTimeout(context.Background(), after)
		defer cancel()
		start := time.Now()
		p := pack(t, ctx, 1000, sizes)
		if late := time.Since(start) - after; late > 500*time.Millisecond*slow || p.Bound != 167 {
			t.Errorf("%v late, bound %d", late, p.Bound)
		}
	}
}

func TestSameOnAnyNumberOfProcessors(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	sizes := triplets(rand.New(rand.NewPCG(3, 1)), 60)
	want := pack(t, context.Background(), 1000, sizes)
	runtime.GOMAXPROCS(5)
	if got := pack(t, context.Background(), 1000, sizes); !reflect.DeepEqual(want, got) {
		t.Error("another packing")
	}
}

func FuzzPack(f *testing.F) {
	f.Add(uint8(30), []byte{10, 20, 15, 15, 7})
	f.Fuzz(func(t *testing.T, capacity uint8, b []byte) {
		if capacity == 0 || len(b) > 9 {
			return
		}
		var sizes []int64
		for _, s := range b {
			sizes = append(sizes, 1+int64(s)%int64(capacity))
		}
		if p := pack(t, context.Background(), int64(capacity), sizes); len(sizes) > 0 && len(p.Bins) != everyWay(int64(capacity), sizes) {
			t.Fatalf("%v into %d: %d", sizes, capacity, len(p.Bins))
		}
	})
}

func BenchmarkPack(b *testing.B) {
	for _, n := range []int{60, 249} {
		sizes := triplets(rand.New(rand.NewPCG(1, uint64(n))), n)
		b.Run("t"+strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if p, err := Pack(context.Background(), 1000, sizes); err != nil || len(p.Bins) != n/3 {
					b.Fatal(len(p.Bins), err)
				}
			}
		})
	}
}
