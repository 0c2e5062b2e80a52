package page

import (
	"testing"

	"solander/calendar"
)

func TestDaysFarAwayHaveTheirYear(t *testing.T) {
	today := calendar.Date(2026, 1, 10)
	for d, want := range map[calendar.Day]string{
		calendar.Date(2025, 12, 22): "Mon 22 Dec", calendar.Date(2026, 6, 1): "Mon 1 Jun",
		calendar.Date(2025, 6, 2): "Mon 2 Jun 2025", calendar.Date(2027, 1, 11): "Mon 11 Jan 2027",
	} {
		if got := near(d, today); got != want {
			t.Errorf("%s beside %s reads %q, want %q", d, today, got, want)
		}
	}
}
