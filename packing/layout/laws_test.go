package layout

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"solander/fault"
	"solander/measure"
)

func fits(t *testing.T, room Room, pieces []Piece) bool {
	t.Helper()
	l, ok, err := Fits(context.Background(), room, pieces)
	if err != nil {
		t.Fatal(err)
	}
	if ok {
		sound(t, room, pieces, l)
	}
	return ok
}

func TestLawsOfFitting(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	yes := 0
	for range 3000 / slow {
		room := Room{measure.Length(5 + r.IntN(20)), measure.Length(5 + r.IntN(20))}
		pieces := randomPieces(r, 1+r.IntN(6), 10)
		ok := fits(t, room, pieces)
		if ok {
			yes++
		}
		scaled, turned, mixed := slices.Clone(pieces), slices.Clone(pieces), slices.Clone(pieces)
		const by = 25_400_001
		for i, p := range pieces {
			scaled[i].Width, scaled[i].Height = p.Width*by, p.Height*by
			turned[i].Width, turned[i].Height = p.Height, p.Width
		}
		r.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		if fits(t, Room{room.Width * by, room.Height * by}, scaled) != ok {
			t.Fatalf("scaled: %v in %v", pieces, room)
		}
		if fits(t, Room{room.Width*by + by - 1, room.Height*by + by - 1}, scaled) != ok {
			t.Fatalf("scaled, with less than one unit more: %v in %v", pieces, room)
		}
		if fits(t, Room{room.Height, room.Width}, turned) != ok {
			t.Fatalf("room turned: %v in %v", pieces, room)
		}
		if fits(t, room, mixed) != ok {
			t.Fatalf("another order: %v in %v", pieces, room)
		}
		if ok && (!fits(t, Room{room.Width + 1, room.Height}, pieces) || !fits(t, room, pieces[1:])) {
			t.Fatalf("more room or fewer pieces: %v in %v", pieces, room)
		}
	}
	if yes < 500/slow || yes > 2500/slow {
		t.Fatalf("%d fit: too one-sided", yes)
	}
}

func TestOneNanometreDecides(t *testing.T) {
	a4 := Piece{210 * measure.Millimetre, 297 * measure.Millimetre, true}
	a3 := Room{297 * measure.Millimetre, 420 * measure.Millimetre}
	if !fits(t, a3, []Piece{a4, a4}) || fits(t, a3, []Piece{a4, a4, {1, 1, false}}) {
		t.Error("A3 does not hold A4 twice and nothing more")
	}
	if fits(t, Room{a3.Width, a3.Height - 1}, []Piece{a4, a4}) || fits(t, Room{a3.Width - 1, a3.Height}, []Piece{a4, a4}) {
		t.Error("A3 less a nanometre holds A4 twice")
	}
	long := Piece{3_000_000_000, 2_000_000_001, false} // areas beyond 2^62
	if !fits(t, Room{6_000_000_000, 2_000_000_001}, []Piece{long, long}) || fits(t, Room{5_999_999_999, 2_000_000_001}, []Piece{long, long}) {
		t.Error("six metres do not hold three twice, or less than six do")
	}
}

// Four pieces round a middle cannot be cut apart, yet fit.
func TestLayoutsNeedNotBeCutApart(t *testing.T) {
	if !fits(t, Room{5, 5}, []Piece{{3, 2, true}, {3, 2, true}, {3, 2, true}, {3, 2, true}, {1, 1, false}}) {
		t.Error("four pieces 3 × 2 round one of 1 × 1 do not fit into 5 × 5")
	}
}

func TestBadInput(t *testing.T) {
	ctx := context.Background()
	_, _, err1 := Fits(ctx, Room{0, 5}, nil)
	_, _, err2 := Fits(ctx, Room{5, 5}, []Piece{{1, -1, true}})
	for i, err := range []error{err1, err2} {
		if !fault.Is(err, fault.Invalid) {
			t.Errorf("%d: %v is no fault of the input", i+1, err)
		}
	}
}

func TestACancelledQuestionIsNotAnswered(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, ok, err := Fits(ctx, Room{5, 5}, []Piece{{1, 1, true}}); ok || err == nil {
		t.Error("a cancelled question was answered")
	}
}

// So many pieces of one size go into a room, and not one more. Source: 22 × 16 with 5 × 3 recomputed by an integer
// program.
func TestMostEqualAsPublished(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	piece := Piece{5, 3, true}
	if !fits(t, Room{22, 16}, slices.Repeat([]Piece{piece}, 23)) || fits(t, Room{22, 16}, slices.Repeat([]Piece{piece}, 24)) {
		t.Error("22 × 16 does not hold 5 × 3 just 23 times")
	}
}

func FuzzFits(f *testing.F) {
	f.Add([]byte{5, 5, 3, 2, 3, 2, 3, 2, 3, 2})
	f.Add([]byte{7, 4, 2, 4, 5, 1, 5, 3})
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) < 4 || len(b) > 12 {
			return
		}
		w, h := 1+int(b[0])%7, 1+int(b[1])%7
		var pieces []Piece
		area := 0
		for b = b[2:]; len(b) >= 2; b = b[2:] {
			p := Piece{measure.Length(1 + b[0]%7), measure.Length(1 + b[1]%7), b[0] > 127}
			area += int(p.Width * p.Height)
			pieces = append(pieces, p)
		}
		want := area <= w*h && onGrid(w, h, pieces)
		if got := fits(t, Room{measure.Length(w), measure.Length(h)}, pieces); got != want {
			t.Fatalf("%v in %d × %d: %v, want %v", pieces, w, h, got, want)
		}
	})
}
