package cutting

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"
	"time"

	"solander/fault"
	"solander/internal/brute"
	"solander/internal/speedtest"
	"solander/measure"
)

const mm = measure.Millimetre

func plan(t *testing.T, stock []Stock, demand []Piece, kerf measure.Length) CutPlan {
	t.Helper()
	p, err := Plan(context.Background(), stock, demand, kerf)
	if err != nil {
		t.Fatalf("%v from %v: %v", demand, stock, err)
	}
	if err := Verify(stock, demand, kerf, p); err != nil {
		t.Fatalf("%v from %v: %v", demand, stock, err)
	}
	if p.Bound > len(p.Sheets) || p.Proven != (p.Bound == len(p.Sheets)) {
		t.Fatalf("%d sheets, bound %d, proven %v", len(p.Sheets), p.Bound, p.Proven)
	}
	return p
}

// fewest covers a demand by sheets in every way: cuttable asks every cut at every whole place.
type fewest struct {
	demand []Piece
	stock  []Stock
	kerf   int
	cuts   map[string]bool
}

func (f *fewest) cuttable(w, h int, counts []int) bool {
	total := 0
	for _, n := range counts {
		total += n
	}
	if total == 0 {
		return true
	}
	if w <= 0 || h <= 0 {
		return false
	}
	key := fmt.Sprint(w, h, counts)
	if ok, known := f.cuts[key]; known {
		return ok
	}
	ok := false
	for i, n := range counts {
		d := f.demand[i]
		dw, dh := int(d.Width), int(d.Height)
		ok = ok || total == 1 && n == 1 && (dw <= w && dh <= h || d.Turn && dh <= w && dw <= h)
	}
	if total > 1 {
		brute.Shares(counts, func(a, b []int) {
			for x := 1; x < w && !ok; x++ {
				ok = f.cuttable(x, h, a) && f.cuttable(w-x-f.kerf, h, b)
			}
			for y := 1; y < h && !ok; y++ {
				ok = f.cuttable(w, y, a) && f.cuttable(w, h-y-f.kerf, b)
			}
		})
	}
	f.cuts[key] = ok
	return ok
}

// of is the best rank of a cover; false when there is none.
func (f *fewest) of(counts, used []int) (rank, bool) {
	empty := true
	for _, n := range counts {
		empty = empty && n == 0
	}
	if empty {
		return rank{}, true
	}
	var best rank
	found := false
	for s, st := range f.stock {
		if st.Count > 0 && used[s] == st.Count {
			continue
		}
		brute.Shares(counts, func(a, b []int) {
			if fmt.Sprint(b) == fmt.Sprint(counts) || !f.cuttable(int(st.Width), int(st.Height), a) {
				return
			}
			used[s]++
			if r, ok := f.of(b, used); ok {
				if r = r.with(st); !found || r.less(best) {
					best, found = r, true
				}
			}
			used[s]--
		})
	}
	return best, found
}

func TestPlanAgreesWithEveryCover(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	r := rand.New(rand.NewPCG(8, 1))
	refused := 0
	for range 1500 / slow {
		f := &fewest{kerf: r.IntN(2), cuts: map[string]bool{}}
		for range 1 + r.IntN(2) {
			f.stock = append(f.stock, Stock{"", measure.Length(3 + r.IntN(5)), measure.Length(3 + r.IntN(5)), r.IntN(4), int64(r.IntN(5))})
		}
		counts, total := []int{}, 0
		for range 1 + r.IntN(3) {
			d := Piece{"", measure.Length(1 + r.IntN(5)), measure.Length(1 + r.IntN(5)), 1 + r.IntN(2), r.IntN(2) == 0}
			f.demand, counts, total = append(f.demand, d), append(counts, d.Count), total+d.Count
		}
		want, ok := f.of(counts, make([]int, len(f.stock)))
		kerf := measure.Length(f.kerf)
		got, err := Plan(context.Background(), f.stock, f.demand, kerf)
		if !ok {
			refused++
			if !fault.Is(err, fault.Refused) {
				t.Fatalf("%v from %v: %v, %v; want a refusal", f.demand, f.stock, got, err)
			}
			continue
		}
		if err != nil || Verify(f.stock, f.demand, kerf, got) != nil || !got.Proven || !got.Least {
			t.Fatalf("%v from %v kerf %d: %+v, %v", f.demand, f.stock, kerf, got, err)
		}
		var rk rank
		for _, s := range got.Sheets {
			rk = rk.with(f.stock[s.Stock])
		}
		if rk != want {
			t.Fatalf("%v from %v kerf %d: %v, want %v", f.demand, f.stock, kerf, rk, want)
		}
	}
	if refused == 0 || refused > 900 {
		t.Fatalf("%d of 1500 were refused", refused)
	}
}

func TestKerfDecidesToTheNanometre(t *testing.T) {
	for _, kerf := range []measure.Length{0, 1, 3 * mm} {
		demand := []Piece{{"a", 200 * mm, 300 * mm, 6, false}}
		exact := Stock{"s", 600*mm + 2*kerf, 600*mm + kerf, 0, 1}
		if p := plan(t, []Stock{exact}, demand, kerf); len(p.Sheets) != 1 || !p.Proven {
			t.Errorf("kerf %d: %d sheets", kerf, len(p.Sheets))
		}
		exact.Width--
		if p := plan(t, []Stock{exact}, demand, kerf); len(p.Sheets) != 2 || !p.Proven {
			t.Errorf("kerf %d, a nanometre less: %d sheets", kerf, len(p.Sheets))
		}
	}
}

// The four pieces round a middle fit, but cannot be cut from edge to edge: the plan takes a second sheet.
func TestOnlyCutsFromEdgeToEdge(t *testing.T) {
	stock := []Stock{{"s", 5, 5, 0, 1}}
	demand := []Piece{{"a", 3, 2, 4, true}, {"b", 1, 1, 1, false}}
	if p := plan(t, stock, demand, 0); len(p.Sheets) != 2 || p.Bound != 2 || !p.Least {
		t.Errorf("%d sheets, bound %d", len(p.Sheets), p.Bound)
	}
}

func manyBoards(seed uint64, n int) ([]Stock, []Piece) {
	r := rand.New(rand.NewPCG(seed, 3))
	var demand []Piece
	for i := range n {
		demand = append(demand, Piece{fmt.Sprint(i), measure.Length(120+r.IntN(300)) * mm, measure.Length(120+r.IntN(300)) * mm, 1 + r.IntN(5), true})
	}
	return []Stock{{"large", 1000 * mm, 700 * mm, 0, 400}, {"small", 500 * mm, 700 * mm, 0, 230}}, demand
}

func TestManyBoards(t *testing.T) {
	for seed := range uint64(4) {
		stock, demand := manyBoards(seed, 12)
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		late := speedtest.Late(ctx, t)
		p, err := Plan(ctx, stock, demand, 2*mm)
		if err != nil || Verify(stock, demand, 2*mm, p) != nil {
			t.Fatal(err, Verify(stock, demand, 2*mm, p))
		}
		after := late()
		t.Logf("%d sheets, bound %d, %v after the end", len(p.Sheets), p.Bound, after)
		if p.Bound*5 < len(p.Sheets)*4 {
			t.Errorf("%d sheets are far from the bound %d", len(p.Sheets), p.Bound)
		}
		if after > 500*time.Millisecond*slow {
			t.Errorf("%v of the processors after the end", after)
		}
	}
}

func TestCancelledPlansAtOnce(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	stock, demand := manyBoards(5, 30)
	late := speedtest.Late(ctx, t)
	p, err := Plan(ctx, stock, demand, mm)
	if after := late(); err != nil || Verify(stock, demand, mm, p) != nil || p.Bound > len(p.Sheets) || after > 500*time.Millisecond*slow {
		t.Errorf("%d sheets, bound %d, %v after %v of the processors", len(p.Sheets), p.Bound, err, after)
	}
}

func TestLawsOfPlans(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 150 / slow {
		stock := []Stock{{"s", measure.Length(8 + r.IntN(8)), measure.Length(8 + r.IntN(8)), 0, 7}}
		demand := []Piece{
			{"a", measure.Length(2 + r.IntN(6)), measure.Length(2 + r.IntN(6)), 1 + r.IntN(4), true},
			{"b", measure.Length(2 + r.IntN(6)), measure.Length(2 + r.IntN(6)), 1 + r.IntN(3), false},
		}
		n := len(plan(t, stock, demand, 1).Sheets)
		const by = 1_000_003
		big, scaled := []Stock{{"s", stock[0].Width * by, stock[0].Height * by, 0, 7}}, []Piece{demand[1], demand[0]}
		for i := range scaled {
			scaled[i].Width, scaled[i].Height = scaled[i].Width*by, scaled[i].Height*by
		}
		if m := len(plan(t, big, scaled, by).Sheets); m != n {
			t.Fatalf("%v from %v: %d sheets, scaled and in another order %d", demand, stock, n, m)
		}
		turned := []Piece{demand[0], demand[1]}
		for i, d := range turned {
			turned[i].Width, turned[i].Height = d.Height, d.Width
		}
		if m := len(plan(t, []Stock{{"s", stock[0].Height, stock[0].Width, 0, 7}}, turned, 1).Sheets); m != n {
			t.Fatalf("%v from %v: %d sheets, turned %d", demand, stock, n, m)
		}
		if m := len(plan(t, stock, demand, 0).Sheets); m > n {
			t.Fatalf("%v from %v: %d sheets with a kerf, %d without", demand, stock, n, m)
		}
		stock[0].Width++
		if m := len(plan(t, stock, demand, 1).Sheets); m > n {
			t.Fatalf("%v from %v: %d sheets when they are larger, %d before", demand, stock, m, n)
		}
	}
}

func TestVerifySeesMistakes(t *testing.T) {
	stock := []Stock{{"s", 100, 100, 2, 5}}
	demand := []Piece{{"a", 60, 40, 2, true}, {"b", 30, 30, 1, false}}
	for name, spoil := range map[string]func(p *CutPlan, stock []Stock, demand []Piece){
		"one more is needed":   func(_ *CutPlan, _ []Stock, d []Piece) { d[1].Count++ },
		"one less is needed":   func(_ *CutPlan, _ []Stock, d []Piece) { d[1].Count-- },
		"another size":         func(_ *CutPlan, _ []Stock, d []Piece) { d[1].Width++ },
		"a smaller sheet":      func(_ *CutPlan, s []Stock, _ []Piece) { s[0].Width-- },
		"another cost":         func(p *CutPlan, _ []Stock, _ []Piece) { p.Cost++ },
		"no such stock":        func(p *CutPlan, _ []Stock, _ []Piece) { p.Sheets[0].Stock = 1 },
		"the cut moved":        func(p *CutPlan, _ []Stock, _ []Piece) { p.Sheets[0].Panel.Cut.At++ },
		"the cut turned":       func(p *CutPlan, _ []Stock, _ []Piece) { c := p.Sheets[0].Panel.Cut; c.Upright = !c.Upright },
		"another step":         func(p *CutPlan, _ []Stock, _ []Piece) { p.Sheets[0].Panel.Cut.Step = 9 },
		"a part moved":         func(p *CutPlan, _ []Stock, _ []Piece) { p.Sheets[0].Panel.Cut.Parts[1].X++ },
		"a part lost":          func(p *CutPlan, _ []Stock, _ []Piece) { c := p.Sheets[0].Panel.Cut; c.Parts = c.Parts[:1] },
		"a sheet twice":        func(p *CutPlan, _ []Stock, _ []Piece) { p.Sheets = append(p.Sheets, p.Sheets[0]) },
		"a piece is cut again": func(p *CutPlan, _ []Stock, _ []Piece) { p.Sheets[0].Panel.Piece = 0 },
	} {
		s, d := append([]Stock{}, stock...), append([]Piece{}, demand...)
		p := plan(t, s, d, 2)
		spoil(&p, s, d)
		if err := Verify(s, d, 2, p); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	p := plan(t, stock, demand, 2)
	if err := Verify(stock, demand, 3, p); err == nil {
		t.Error("a plan for a kerf of 2 passes for one of 3")
	}
}

func TestRefusalsAndBadInput(t *testing.T) {
	ctx := context.Background()
	_, large := Plan(ctx, []Stock{{"s", 10, 10, 0, 1}}, []Piece{{"a", 5, 11, 1, true}}, 0)
	_, few := Plan(ctx, []Stock{{"s", 10, 10, 1, 1}}, []Piece{{"a", 6, 6, 2, true}}, 0)
	_, none := Plan(ctx, nil, []Piece{{"a", 6, 6, 2, true}}, 0)
	for i, err := range []error{large, few, none} {
		if !fault.Is(err, fault.Refused) {
			t.Errorf("%d: %v is no refusal", i, err)
		}
	}
	_, side := Plan(ctx, []Stock{{"s", 0, 10, 0, 1}}, nil, 0)
	_, count := Plan(ctx, nil, []Piece{{"a", 6, 6, -2, true}}, 0)
	_, kerf := Plan(ctx, nil, nil, -1)
	for i, err := range []error{side, count, kerf} {
		if !fault.Is(err, fault.Invalid) {
			t.Errorf("%d: %v is no fault of the input", i, err)
		}
	}
	if p, err := Plan(ctx, nil, nil, 0); err != nil || len(p.Sheets) != 0 || !p.Proven {
		t.Errorf("nothing to cut: %+v, %v", p, err)
	}
}

func TestSamePlanOnAnyNumberOfProcessors(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	stock, demand := manyBoards(2, 5)
	var first CutPlan
	for i, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		p := plan(t, stock, demand, mm)
		if i == 0 {
			first = p
		} else if !reflect.DeepEqual(first, p) {
			t.Errorf("on %d processors another plan", n)
		}
	}
}

func FuzzPlan(f *testing.F) {
	f.Add([]byte{9, 9, 1, 4, 3, 2, 5, 2, 3})
	f.Add([]byte{20, 7, 0, 7, 3, 1, 2, 2, 9})
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) < 6 || len(b) > 15 {
			return
		}
		stock := []Stock{{"s", 1 + measure.Length(b[0]), 1 + measure.Length(b[1]), 0, 3}}
		kerf := measure.Length(b[2] % 4)
		var demand []Piece
		for b = b[3:]; len(b) >= 3; b = b[3:] {
			demand = append(demand, Piece{"p", 1 + measure.Length(b[0]), 1 + measure.Length(b[1]), int(b[2] % 6), b[2] > 127})
		}
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		p, err := Plan(ctx, stock, demand, kerf)
		if err != nil {
			if !fault.Is(err, fault.Refused) {
				t.Fatal(err)
			}
			return
		}
		if err := Verify(stock, demand, kerf, p); err != nil || p.Bound > len(p.Sheets) {
			t.Fatalf("%v, %d sheets, bound %d", err, len(p.Sheets), p.Bound)
		}
	})
}
