package onesheet_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"solander/fault"
	"solander/internal/brute"
	"solander/measure"
	"solander/packing/cutting"
	"solander/packing/cutting/onesheet"
)

type instance struct {
	name    string
	sheet   onesheet.Sheet
	kinds   []onesheet.Kind
	optimum int64
}

// Source: OR-Library (J. E. Beasley), gcut1 to 4 of J. E. Beasley, "Algorithms for unconstrained
// two-dimensional guillotine cutting", 1985. The optima were recomputed by exhaustive dynamic programming.
func gcut(t testing.TB) []instance {
	t.Helper()
	var out []instance
	for i, optimum := range []int64{56460, 60536, 61036, 61698} {
		in := instance{name: fmt.Sprint("gcut", i+1), optimum: optimum}
		f, err := os.Open("testdata/" + in.name + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		var n int
		if _, err := fmt.Fscan(f, &n, &in.sheet.Width, &in.sheet.Height); err != nil {
			t.Fatal(err)
		}
		for range n {
			var k onesheet.Kind
			if _, err := fmt.Fscan(f, &k.Width, &k.Height, &k.Value); err != nil {
				t.Fatal(err)
			}
			in.kinds = append(in.kinds, k)
		}
		out = append(out, in)
	}
	return out
}

// Source: see testdata/cgcut.txt.
func cgcut(t testing.TB) []instance {
	t.Helper()
	f, err := os.Open("testdata/cgcut.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []instance
	for s := bufio.NewScanner(f); s.Scan(); {
		line := s.Text()
		var in instance
		var k onesheet.Kind
		switch {
		case strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "  "):
			if _, err := fmt.Sscan(line, &k.Width, &k.Height, &k.Max, &k.Value); err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			out[len(out)-1].kinds = append(out[len(out)-1].kinds, k)
		default:
			if _, err := fmt.Sscan(line, &in.name, &in.sheet.Width, &in.sheet.Height, &in.optimum); err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			out = append(out, in)
		}
	}
	if len(out) == 0 {
		t.Fatal("no instance was read: nothing was tested")
	}
	return out
}

// worth adds up a panel after it has been verified as a plan of one sheet.
func worth(t *testing.T, sheet onesheet.Sheet, kinds []onesheet.Kind, kerf measure.Length, p onesheet.Panel) int64 {
	t.Helper()
	demand := make([]cutting.Piece, len(kinds))
	value := int64(0)
	var count func(p onesheet.Panel)
	count = func(p onesheet.Panel) {
		if p.Cut != nil {
			for _, part := range p.Cut.Parts {
				count(part)
			}
		} else if p.Piece >= 0 {
			demand[p.Piece].Count++
			value += kinds[p.Piece].Value
		}
	}
	count(p)
	for i, k := range kinds {
		demand[i].Width, demand[i].Height, demand[i].Turn = k.Width, k.Height, k.Turn
		if k.Max > 0 && demand[i].Count > k.Max {
			t.Fatalf("%d of kind %d are cut, at most %d are allowed", demand[i].Count, i, k.Max)
		}
	}
	plan := cutting.CutPlan{Sheets: []cutting.Cutting{{Stock: 0, Panel: p}}}
	if err := cutting.Verify([]cutting.Stock{{Width: sheet.Width, Height: sheet.Height}}, demand, kerf, plan); err != nil {
		t.Fatal(err)
	}
	return value
}

func TestPublishedOptima(t *testing.T) {
	for _, in := range append(gcut(t), cgcut(t)...) {
		t.Run(in.name, func(t *testing.T) {
			ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
			defer cancel()
			start := time.Now()
			c, err := onesheet.MostValuable(ctx, in.sheet, in.kinds, 0)
			t.Logf("%v", time.Since(start))
			if err != nil || c.Value != in.optimum || !c.Proven || c.Bound != c.Value {
				t.Errorf("value %d, bound %d, proven %v, %v; want %d", c.Value, c.Bound, c.Proven, err, in.optimum)
			}
			if v := worth(t, in.sheet, in.kinds, 0, c.Panel); v != c.Value {
				t.Errorf("the cutting is worth %d, not %d", v, c.Value)
			}
		})
	}
}

// bestCutting tries every cut at every whole place, and every number of each kind; counts are what is left.
type bestCutting struct {
	kinds []onesheet.Kind
	kerf  int
	known map[string]int64
}

// of is the most value of w × h, with numbers left of each kind (-1 is any number).
func (b *bestCutting) of(w, h int, left []int) int64 {
	if w <= 0 || h <= 0 {
		return 0
	}
	key := fmt.Sprint(w, h, left)
	if v, ok := b.known[key]; ok {
		return v
	}
	best := int64(0)
	for i, k := range b.kinds {
		kw, kh := int(k.Width), int(k.Height)
		if left[i] != 0 && (kw <= w && kh <= h || k.Turn && kh <= w && kw <= h) {
			best = max(best, k.Value)
		}
	}
	brute.Shares(left, func(a, c []int) {
		for x := 1; x < w; x++ {
			best = max(best, b.of(x, h, a)+b.of(w-x-b.kerf, h, c))
		}
		for y := 1; y < h; y++ {
			best = max(best, b.of(w, y, a)+b.of(w, h-y-b.kerf, c))
		}
	})
	b.known[key] = best
	return best
}

func TestMostValuableAgreesWithEveryCut(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	r := rand.New(rand.NewPCG(1, 5))
	for round := range 700 / slow {
		w, h, kerf := 2+r.IntN(9), 2+r.IntN(9), r.IntN(3)
		free := round%3 > 0
		kinds := make([]onesheet.Kind, 1+r.IntN(3))
		left := make([]int, len(kinds))
		for i := range kinds {
			kinds[i] = onesheet.Kind{measure.Length(1 + r.IntN(6)), measure.Length(1 + r.IntN(6)), 1 + r.IntN(3), int64(1 + r.IntN(30)), r.IntN(2) == 0}
			if free || r.IntN(4) == 0 {
				kinds[i].Max = 0
			}
			if left[i] = kinds[i].Max; left[i] == 0 {
				left[i] = -1
			}
		}
		want := (&bestCutting{kinds, kerf, map[string]int64{}}).of(w, h, left)
		sheet := onesheet.Sheet{measure.Length(w), measure.Length(h)}
		c, err := onesheet.MostValuable(context.Background(), sheet, kinds, measure.Length(kerf))
		if err != nil || c.Value != want || !c.Proven {
			t.Fatalf("%v from %v with kerf %d: %d, proven %v, %v; want %d", kinds, sheet, kerf, c.Value, c.Proven, err, want)
		}
		if v := worth(t, sheet, kinds, measure.Length(kerf), c.Panel); v != want {
			t.Fatalf("the cutting is worth %d, not %d", v, want)
		}
	}
}

func TestCancelledAnswersAtOnce(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	in := gcut(t)[3]
	c, err := onesheet.MostValuable(ctx, in.sheet, in.kinds, 0)
	if err != nil || c.Proven || c.Bound < in.optimum || worth(t, in.sheet, in.kinds, 0, c.Panel) != c.Value {
		t.Errorf("%d, bound %d, %v", c.Value, c.Bound, err)
	}
}

func TestBadInput(t *testing.T) {
	_, err := onesheet.MostValuable(t.Context(), onesheet.Sheet{Width: 5, Height: 5}, []onesheet.Kind{{Width: 1, Height: 1, Max: 1, Value: -1}}, 0)
	if !fault.Is(err, fault.Invalid) {
		t.Errorf("%v is no fault of the input", err)
	}
}
