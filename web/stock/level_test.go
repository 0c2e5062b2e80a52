package stock

import "testing"

// Worked by hand: a bar of 60 is what is on hand, or twice the line when that is more.
func TestLevels(t *testing.T) {
	for _, tc := range []struct {
		stock, reorder int
		want           level
	}{
		{10, 0, level{}},           // never restocked: no line, no bar
		{0, 10, level{0, 30}},      // 0 of 20
		{5, 10, level{15, 30}},     // 5 of 20
		{20, 10, level{60, 30}},    // just twice the line
		{120, 10, level{60, 5}},    // 10 of 120
		{100_000, 1, level{60, 1}}, // the line is still to be seen
	} {
		if got := levelOf(tc.stock, tc.reorder); got != tc.want {
			t.Errorf("%d on hand, restocked at %d: %v, want %v", tc.stock, tc.reorder, got, tc.want)
		}
	}
}
