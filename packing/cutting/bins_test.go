package cutting

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"

	"solander/measure"
)

// bin is a case of the published sets: boards to cut from sheets of one size.
type bin struct {
	class, number int
	stock         []Stock
	demand        []Piece
}

// Source: see testdata/bins2d-20.txt.
func bins(t testing.TB) []bin {
	t.Helper()
	f, err := os.Open("testdata/bins2d-20.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []bin
	for s := bufio.NewScanner(f); s.Scan(); {
		if strings.HasPrefix(s.Text(), "#") {
			continue
		}
		head, list, _ := strings.Cut(s.Text(), "|")
		var b bin
		var w, h measure.Length
		if _, err := fmt.Sscan(head, &b.class, &b.number, &w, &h); err != nil {
			t.Fatalf("%q: %v", head, err)
		}
		b.stock = []Stock{{Width: w, Height: h}}
		for _, size := range strings.Fields(list) {
			d := Piece{Count: 1}
			if _, err := fmt.Sscanf(size, "%dx%d", &d.Width, &d.Height); err != nil {
				t.Fatalf("%q: %v", size, err)
			}
			b.demand = append(b.demand, d)
		}
		if len(b.demand) != 20 {
			t.Fatalf("%q: %d boards, not 20", head, len(b.demand))
		}
		out = append(out, b)
	}
	if len(out) != 100 {
		t.Fatalf("%d cases, not 100", len(out))
	}
	return out
}

// Twenty different boards, a hundred times: the fewest sheets are proven for each by counted work, so without a time,
// and no class needs fewer than are published for any cut, from edge to edge or not (Berkey and Wang 1987; Martello and
// Vigo 1998; the sums over ten cases from memory).
func TestTwentyDifferentBoards(t *testing.T) {
	anyCut := []int{71, 10, 51, 10, 65, 10, 55, 58, 143, 42}
	sums := make([]int, len(anyCut))
	for _, b := range bins(t) {
		if testing.Short() && b.number > 2 {
			continue
		}
		p := plan(t, b.stock, b.demand, 0)
		t.Logf("class %d case %d: %d sheets, bound %d, proven %v", b.class, b.number, len(p.Sheets), p.Bound, p.Proven)
		if !p.Proven {
			t.Errorf("class %d case %d: %d sheets are not proven", b.class, b.number, len(p.Sheets))
		}
		sums[b.class-1] += len(p.Sheets)
	}
	t.Log("sheets by class:", sums)
	for i, n := range sums {
		if n < anyCut[i] && !testing.Short() {
			t.Errorf("class %d: %d sheets are fewer than %d, which any cut needs", i+1, n, anyCut[i])
		}
	}
}
