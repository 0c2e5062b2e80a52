package layout

import (
	"context"
	"math/rand/v2"
	"testing"

	"solander/measure"
)

// sound looks at a layout by itself: inside, true sizes, each piece once, no overlap.
func sound(t *testing.T, room Room, pieces []Piece, l Layout) {
	t.Helper()
	seen := map[int]bool{}
	for i, p := range l {
		q := pieces[p.Piece]
		if seen[p.Piece] {
			t.Fatalf("piece %d lies twice: %v", p.Piece, l)
		}
		seen[p.Piece] = true
		straight := p.Width == q.Width && p.Height == q.Height && !p.Turned
		turned := q.Turn && p.Width == q.Height && p.Height == q.Width && p.Turned
		if !straight && !turned {
			t.Fatalf("piece %d, %v, lies as %v", p.Piece, q, p)
		}
		if p.X < 0 || p.Y < 0 || p.X+p.Width > room.Width || p.Y+p.Height > room.Height {
			t.Fatalf("%v is not within %v", p, room)
		}
		for _, o := range l[:i] {
			if p.X < o.X+o.Width && o.X < p.X+p.Width && p.Y < o.Y+o.Height && o.Y < p.Y+p.Height {
				t.Fatalf("%v and %v overlap", p, o)
			}
		}
	}
}

// onGrid decides cell by cell: each free cell is the lower left one of some piece, or of none.
func onGrid(w, h int, pieces []Piece) bool {
	used := make([]bool, w*h)
	done := make([]bool, len(pieces))
	var at func(cell, left, free int) bool
	at = func(cell, left, free int) bool {
		if left == 0 || cell == w*h || free < 0 {
			return left == 0
		}
		if used[cell] {
			return at(cell+1, left, free)
		}
		tried := map[Piece]bool{}
		for i, p := range pieces {
			if done[i] || tried[p] {
				continue
			}
			tried[p] = true
			for _, way := range [2][2]int{{int(p.Width), int(p.Height)}, {int(p.Height), int(p.Width)}} {
				x, y := cell%w, cell/w
				if x+way[0] <= w && y+way[1] <= h && mark(used, w, x, y, way, true) {
					done[i] = true
					if at(cell+1, left-1, free) {
						return true
					}
					done[i] = false
					mark(used, w, x, y, way, false)
				}
				if !p.Turn {
					break
				}
			}
		}
		return at(cell+1, left, free-1)
	}
	free := w * h
	for _, p := range pieces {
		free -= int(p.Width * p.Height)
	}
	return at(0, len(pieces), free)
}

func mark(used []bool, w, x, y int, way [2]int, on bool) bool {
	if on {
		for j := y; j < y+way[1]; j++ {
			for i := x; i < x+way[0]; i++ {
				if used[j*w+i] {
					return false
				}
			}
		}
	}
	for j := y; j < y+way[1]; j++ {
		for i := x; i < x+way[0]; i++ {
			used[j*w+i] = on
		}
	}
	return true
}

func randomPieces(r *rand.Rand, n, side int) []Piece {
	pieces := make([]Piece, n)
	for i := range pieces {
		pieces[i] = Piece{measure.Length(1 + r.IntN(side)), measure.Length(1 + r.IntN(side)), r.IntN(2) == 0}
		if i > 0 && r.IntN(3) == 0 {
			pieces[i] = pieces[r.IntN(i)]
		}
	}
	return pieces
}

func TestFitsAgreesWithEveryPositionOnAGrid(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	yes, no := 0, 0
	for range 30000 / slow {
		w, h := 3+r.IntN(5), 3+r.IntN(5)
		pieces := randomPieces(r, 2+r.IntN(6), 2+r.IntN(4))
		area := 0
		for _, p := range pieces {
			area += int(p.Width * p.Height)
		}
		if area > w*h || 3*area < 2*w*h {
			continue
		}
		want := onGrid(w, h, pieces)
		room := Room{measure.Length(w), measure.Length(h)}
		l, got, err := Fits(context.Background(), room, pieces)
		if err != nil || got != want {
			t.Fatalf("%v in %v: %v %v, want %v", pieces, room, got, err, want)
		}
		bySearch(t, room, pieces, want)
		if got {
			yes++
			sound(t, room, pieces, l)
			if len(l) != len(pieces) {
				t.Fatalf("%d of %d pieces lie in %v", len(l), len(pieces), l)
			}
		} else {
			no++
		}
	}
	if yes < 2000/slow || no < 400/slow {
		t.Fatalf("only %d fitting and %d other rooms were looked at", yes, no)
	}
}

// bySearch asks each of the two searches alone, with what it remembers and moves from the first step.
func bySearch(t *testing.T, room Room, pieces []Piece, want bool) {
	t.Helper()
	for i := range 2 {
		q := newQuestion(context.Background(), int64(room.Width), int64(room.Height))
		q.group(pieces)
		q.prepare()
		slack, ok := q.slack()
		if !ok {
			if want {
				t.Fatalf("%v in %v: too large", pieces, room)
			}
			return
		}
		q.begin(0)
		q.steps = rememberAfter + 1
		v := []func(int64) verdict{q.stairs, q.fill}[i](slack)
		if v == unknown || (v == found) != want {
			t.Fatalf("search %d: %v in %v: %v, want %v", i, pieces, room, v, want)
		}
	}
}
