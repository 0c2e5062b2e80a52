package layout

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"solander/measure"
)

type instance struct {
	name    string
	room    Room
	kinds   []Kind
	optimum int64
}

func instances(t testing.TB) []instance {
	t.Helper()
	f, err := os.Open("testdata/ngcut.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []instance
	for s := bufio.NewScanner(f); s.Scan(); {
		line := s.Text()
		switch {
		case strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "  "):
			var k Kind
			if _, err := fmt.Sscan(line, &k.Width, &k.Height, &k.Max, &k.Value); err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			last := &out[len(out)-1]
			last.kinds = append(last.kinds, k)
		default:
			var in instance
			if _, err := fmt.Sscan(line, &in.name, &in.room.Width, &in.room.Height, &in.optimum); err != nil {
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

// worth adds up a layout by itself and looks whether it is sound.
func worth(t *testing.T, room Room, kinds []Kind, l Layout) int64 {
	t.Helper()
	var pieces []Piece
	each := make(Layout, 0, len(l))
	count := make([]int, len(kinds))
	value := int64(0)
	for i, p := range l {
		k := kinds[p.Piece]
		pieces = append(pieces, Piece{k.Width, k.Height, k.Turn})
		if count[p.Piece]++; count[p.Piece] > k.Max {
			t.Fatalf("more than %d of kind %d", k.Max, p.Piece)
		}
		value += k.Value
		p.Piece = i
		each = append(each, p)
	}
	sound(t, room, pieces, each)
	return value
}

func TestPublishedOptima(t *testing.T) {
	for _, in := range instances(t) {
		t.Run(in.name, func(t *testing.T) {
			within, hard := 20*time.Second, in.name == "cgcut2" // whose proof takes longer than a test should
			if hard {
				within = time.Second
			}
			ctx, cancel := context.WithTimeout(context.Background(), within)
			defer cancel()
			c, err := MostValuable(ctx, in.room, in.kinds)
			if err != nil || c.Bound < in.optimum || c.Value > in.optimum || !hard && (c.Value != in.optimum || !c.Proven) {
				t.Errorf("value %d, bound %d, proven %v, %v; want %d", c.Value, c.Bound, c.Proven, err, in.optimum)
			}
			if v := worth(t, in.room, in.kinds, c.Layout); v != c.Value {
				t.Errorf("the layout is worth %d, not %d", v, c.Value)
			}
		})
	}
}

// Every set of pieces is asked on the grid.
func TestMostValuableAgreesWithEverySet(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 400 / slow {
		w, h := 3+r.IntN(4), 3+r.IntN(4)
		kinds := make([]Kind, 1+r.IntN(3))
		for i, p := range randomPieces(r, len(kinds), 2+r.IntN(4)) {
			kinds[i] = Kind{p.Width, p.Height, r.IntN(4), int64(r.IntN(9)), p.Turn}
		}
		want := bestSet(w, h, kinds, nil, 0)
		room := Room{measure.Length(w), measure.Length(h)}
		c, err := MostValuable(context.Background(), room, kinds)
		if err != nil || c.Value != want || !c.Proven || worth(t, room, kinds, c.Layout) != want {
			t.Fatalf("%v in %v: %+v, %v; want %d", kinds, room, c, err, want)
		}
	}
}

func bestSet(w, h int, kinds []Kind, pieces []Piece, value int64) int64 {
	if len(kinds) == 0 {
		area := 0
		for _, p := range pieces {
			area += int(p.Width * p.Height)
		}
		if area > w*h || !onGrid(w, h, pieces) {
			return -1
		}
		return value
	}
	k, best := kinds[0], int64(-1)
	for n := range k.Max + 1 {
		best = max(best, bestSet(w, h, kinds[1:], pieces, value+int64(n)*k.Value))
		pieces = append(pieces[:len(pieces):len(pieces)], Piece{k.Width, k.Height, k.Turn})
	}
	return best
}
