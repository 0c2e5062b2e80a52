package words

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestNumbersSortByTheirWorth(t *testing.T) {
	want := []string{
		"1/4 board", "1/2 board", "2 mailers", "5 1/4 x 7", "5 1/2 x 7", "5 1/2 x 11", "11 1/4 x 14", "11 1/4 x 14, kept flat",
		"Äsche", "ash", "box 9", "box 10", "box 10 a", "Tube 3 in", "tube 12 in",
	}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, Compare)
	if !slices.Equal(want, got) {
		t.Errorf("sorted %q, want %q", got, want)
	}
}

// Whatever is compared, the order has no circle, and only what is the same is equal.
func TestCompareIsAnOrder(t *testing.T) {
	text := rapid.StringMatching(`[0-9aÄ/ ]{0,12}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := text.Draw(t, "a"), text.Draw(t, "b"), text.Draw(t, "c")
		if Compare(a, b) != -Compare(b, a) || (Compare(a, b) == 0) != (a == b) {
			t.Fatalf("%q and %q: %d and %d", a, b, Compare(a, b), Compare(b, a))
		}
		if Compare(a, b) <= 0 && Compare(b, c) <= 0 && Compare(a, c) > 0 {
			t.Fatalf("%q, %q, %q stand in a circle", a, b, c)
		}
	})
}
