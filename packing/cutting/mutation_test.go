package cutting

import (
	"flag"
	"testing"

	"solander/internal/mistake"
)

var mutate = flag.Bool("mutate", false, "make typical mistakes in the source and see that the tests find each")

// mutations are typical mistakes of what proves how few sheets are enough.
var mutations = []mistake.Mistake{
	{"one board more than the most", "packing/cutting/onesheet/fields.go", "size := bits.Len(uint(n))", "n++\n\t\tsize := bits.Len(uint(n))"},
	{"fines not paid back whole", "packing/cutting/onesheet/ease.go", "paid[i] * int64(most)", "paid[i] * int64(most-1)"},
	{"nothing beside what is above a rectangle", "packing/cutting/onesheet/bounded.go", "for k := j + 1; k < n; k++ {", "for k := n; k < n; k++ {"},
	{"a rectangle lower or narrower is no larger", "packing/cutting/onesheet/bounded.go", "o.w <= b.w && o.h <= b.h", "o.w <= b.w || o.h <= b.h"},
	{"no set holds a board twice", "packing/cutting/onesheet/sets.go", "for k := last; k < len(s.kinds); k++ {", "for k := last + 1; k < len(s.kinds); k++ {"},
	{"the lower one of two side by side decides", "packing/cutting/onesheet/sets.go", "if x[i].h >= y[k].h {", "if x[i].h < y[k].h {"},
	{"a wider rectangle dropped that is lower", "packing/cutting/onesheet/sets.go", "for to < len(list) && list[to].h >= n.h {", "for to < len(list) && list[to].w >= n.w {"},
	{"a set left out that is full on another sheet", "packing/cutting/onesheet/sets.go", "s.all[less].full &^= n.fits", "s.all[less].full = 0"},
	{"a board that is not needed is cut", "packing/cutting/onesheet/tree.go", "if left[j.Piece] == 0 {", "if left[j.Piece] < -1 {"},
	{"boards without a price", "packing/cutting/columns.go", "c.price[i] = max(1, ", "c.price[i] = max(0, "},
	{"the least that a sheet holds for the most", "packing/cutting/cover.go", "return slices.Max(c.worth)", "return slices.Min(c.worth)"},
	{"a cutting left out that is worth a little more than enough", "packing/cutting/cover.go", "*c.highest()-1)", "*c.highest()+pricesScale/4)"},
	{"the other sheets hold nothing", "packing/cutting/cover.go", "least := rest - int64(sheets-1)*v.c.highest()", "least := rest - int64(sheets-2)*v.c.highest()"},
	{"what was used of scarce sheets forgotten", "packing/cutting/cover.go", "\t\tif v.c.p.stock[s].Count > 0 {\n\t\t\tout = append", "\t\tif v.c.p.stock[s].Count > 0 && n < 0 {\n\t\t\tout = append"},
	{"one more sheet than was shown", "packing/cutting/cover.go", "p.bound = sheets + 1", "p.bound = sheets + 2"},
	{"a sheet more than there is of a kind", "packing/cutting/cover.go", "v.used[x.stock] >= most {", "v.used[x.stock] > most {"},
	{"a bound of one sheet too many", "packing/cutting/columns.go", "n := (rest + worth[s] - 1) / worth[s]", "n := rest/worth[s] + 1"},
}

// Each mistake makes some of the quick tests fail.
func TestMistakesAreCaught(t *testing.T) {
	if !*mutate {
		t.Skip("takes minutes, since each mistake is compiled and tested: make mutate")
	}
	mistake.AreCaught(t, "../..", mutations, "-short", "-timeout", "5m", "-run", "TestCoverAgrees|TestSearchOverSheets|TestColumnsBound|TestFields", "./packing/cutting/...")
}

// The mistakes can be made. So a change cannot quietly leave one out.
func TestMistakesCanBeMade(t *testing.T) { mistake.CanBeMade(t, "../..", mutations) }
