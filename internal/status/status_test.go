package status

import (
	"errors"
	"fmt"
	"net/http"
	"testing"

	"solander/fault"
)

// TestEveryCodeHasARow holds the table complete, without a row too many. That a fault of the person's
// making is a 4xx and one of ours a 5xx: RFC 9110, 15.5 and 15.6.
func TestEveryCodeHasARow(t *testing.T) {
	ours := map[fault.Code]bool{fault.Internal: true, fault.Busy: true, fault.Unsure: true}
	for _, c := range fault.Codes() {
		got, ok := of[c]
		switch {
		case !ok:
			t.Errorf("the code %q has no status", c)
		case ours[c] != (got >= 500) || got < 400 || got > 599:
			t.Errorf("the code %q has the status %d", c, got)
		}
	}
	if len(of) != len(fault.Codes()) {
		t.Errorf("%d rows for %d codes", len(of), len(fault.Codes()))
	}
}

func TestOf(t *testing.T) {
	for _, c := range []struct {
		err  error
		want int
	}{
		{nil, 200},
		{errors.New("disk on fire"), 500},
		{fault.New(fault.Missing, "no such order"), 404},
		{fmt.Errorf("reading: %w", fault.New(fault.TooLarge, "too much")), http.StatusRequestEntityTooLarge},
		{errors.Join(fault.Invalidf("a", "wrong"), fault.Invalidf("b", "wrong")), 422},
		{&fault.Error{Code: "unheard of"}, 500},
	} {
		if got := Of(c.err); got != c.want {
			t.Errorf("Of(%v) = %d, want %d", c.err, got, c.want)
		}
	}
}
