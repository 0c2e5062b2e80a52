package cutting

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"solander/measure"
	"solander/packing/cutting/onesheet"
)

// small is a few single boards and sheets; everyCut tries every cut at every whole place and every way to share the
// boards between its sides, everySheet every way to share them between sheets.
type small struct {
	stock  []Stock
	demand []Piece // each of one
	kinds  []Piece // the same, counted
	kerf   int
	cut    map[[3]int]bool
	least  map[string]int
}

func (s *small) everyCut(w, h, boards int) bool {
	if boards == 0 {
		return true
	}
	if w <= 0 || h <= 0 {
		return false
	}
	key := [3]int{w, h, boards}
	if ok, known := s.cut[key]; known {
		return ok
	}
	ok := false
	if boards&(boards-1) == 0 {
		for i, d := range s.demand {
			bw, bh := int(d.Width), int(d.Height)
			ok = ok || boards == 1<<i && (bw <= w && bh <= h || d.Turn && bh <= w && bw <= h)
		}
	} else {
		for x := 1; x < w && !ok; x++ {
			ok = s.everyShare(boards, func(a, b int) bool { return s.everyCut(x, h, a) && s.everyCut(w-x-s.kerf, h, b) })
		}
		for y := 1; y < h && !ok; y++ {
			ok = s.everyShare(boards, func(a, b int) bool { return s.everyCut(w, y, a) && s.everyCut(w, h-y-s.kerf, b) })
		}
	}
	s.cut[key] = ok
	return ok
}

func (s *small) everyShare(boards int, ok func(a, b int) bool) bool {
	for a := (boards - 1) & boards; a > 0; a = (a - 1) & boards {
		if ok(a, boards&^a) {
			return true
		}
	}
	return false
}

const tooMany = 1000

func (s *small) everySheet(boards int, used []int) int {
	if boards == 0 {
		return 0
	}
	key := fmt.Sprint(boards, used)
	if n, known := s.least[key]; known {
		return n
	}
	best := tooMany
	for part := boards; part > 0; part = (part - 1) & boards {
		if part&(boards&-boards) == 0 {
			continue
		}
		for i, st := range s.stock {
			if (st.Count == 0 || used[i] < st.Count) && s.everyCut(int(st.Width), int(st.Height), part) {
				used[i]++
				best = min(best, 1+s.everySheet(boards&^part, used))
				used[i]--
			}
		}
	}
	s.least[key] = best
	return best
}

func draw(r *rand.Rand) *small {
	s := &small{kerf: r.IntN(4) / 2, cut: map[[3]int]bool{}, least: map[string]int{}}
	for range 1 + r.IntN(5)/3 {
		s.stock = append(s.stock, Stock{Width: measure.Length(4 + r.IntN(5)), Height: measure.Length(4 + r.IntN(5)), Count: max(0, r.IntN(6)-2)})
	}
	for n := 3 + r.IntN(3); n > 0; {
		d := Piece{Width: measure.Length(1 + r.IntN(5)), Height: measure.Length(1 + r.IntN(5)), Count: min(n, 1+r.IntN(5)/3), Turn: r.IntN(3) == 0}
		s.kinds = append(s.kinds, d)
		for range d.Count {
			s.demand = append(s.demand, d)
		}
		n -= d.Count
	}
	return s
}

// own is a board on a sheet of its own.
func (p *planner) own(i int) sheet {
	for s := range p.stock {
		for _, way := range p.ways(i) {
			if p.fitsOn(s, way[0], way[1]) {
				return sheet{s, &onesheet.Joint{W: way[0], H: way[1], Piece: i}}
			}
		}
	}
	panic("it fits on none")
}

// apart is the worst plan: each board on a sheet of its own, if there are so many.
func (p *planner) apart() {
	var sheets []sheet
	for i, d := range p.demand {
		for range d.Count {
			sheets = append(sheets, p.own(i))
		}
	}
	p.offer(sheets)
}

// The search over sheets, from the worst plan, on random small cases against every cut and every cover: a bound or a
// proof is never wrong, and with all cuttings known the fewest sheets are always proven.
func TestCoverAgreesWithEveryCut(t *testing.T) {
	cases := 10_000 / slow
	if testing.Short() {
		cases = 1000
	}
	tried, byTables, better := 0, 0, 0
	r := rand.New(rand.NewPCG(12, 9))
	for tried < cases {
		s := draw(r)
		for _, known := range []bool{false, true} {
			p := newPlanner(t.Context(), s.stock, s.kinds, int64(s.kerf))
			if p.alone() != nil {
				break
			}
			p.apart()
			if p.best == nil {
				break
			}
			apart, want := len(p.best), s.everySheet(1<<len(s.demand)-1, make([]int, len(s.stock)))
			c := newColumns(p)
			if known {
				c.lots = lotsOf(p.sets(setWork), len(s.kinds))
			} else {
				tried++
			}
			c.solve(someWork)
			got := p.plan(false)
			if err := Verify(s.stock, s.kinds, measure.Length(s.kerf), got); err != nil {
				t.Fatalf("%+v from %+v kerf %d: %v", s.kinds, s.stock, s.kerf, err)
			}
			if len(got.Sheets) < want || got.Bound > want || known && !got.Proven {
				t.Fatalf("%+v from %+v kerf %d, known %v: %d sheets, bound %d, every cut %d", s.kinds, s.stock, s.kerf, known, len(got.Sheets), got.Bound, want)
			}
			if !known && got.Proven {
				byTables++
			}
			if len(got.Sheets) < apart {
				better++
			}
		}
	}
	t.Logf("%d tried, %d proven by tables, %d better than apart", tried, byTables, better)
	if byTables < tried*9/10 || better < tried {
		t.Errorf("of %d, %d proven by tables, %d better than apart: too few for a test", tried, byTables, better)
	}
}
