package rota_test

import (
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/rota"
)

func zone(t rapid.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// Source: RFC 5545, 3.3.5 (from memory): of DTSTART;TZID=America/New_York:20071104T013000 the first occurrence is meant, 1:30 A.M. EDT
// (UTC-04:00); 20070311T023000, which does not occur, is 3:30 A.M. EDT.
func TestTheClockIsSet(t *testing.T) {
	ny := zone(t, "America/New_York")
	for _, c := range []struct {
		rule        rota.Rule
		after, want string
	}{
		{rota.Daily{1, 30}, "2007-11-04T00:00:00-04:00", "2007-11-04T05:30:00Z"},
		{rota.Daily{1, 30}, "2007-11-04T05:30:00Z", "2007-11-05T06:30:00Z"}, // not again at 1:30 EST
		{rota.Daily{2, 30}, "2007-03-11T00:00:00-05:00", "2007-03-11T07:30:00Z"},
		{rota.Daily{2, 30}, "2007-03-11T07:30:00Z", "2007-03-12T06:30:00Z"},
		{rota.Daily{3, 0}, "2007-06-01T07:00:00Z", "2007-06-02T07:00:00Z"}, // due now is not due next
		{rota.Weekly{time.Sunday, 4, 0}, "2007-11-04T12:00:00Z", "2007-11-11T09:00:00Z"},
		{rota.Weekly{time.Sunday, 4, 0}, "2007-11-03T12:00:00Z", "2007-11-04T09:00:00Z"},
	} {
		after, err := time.Parse(time.RFC3339, c.after)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.rule.Next(after, ny).UTC().Format(time.RFC3339); got != c.want {
			t.Errorf("%s, after %s: %s, want %s", c.rule, c.after, got, c.want)
		}
	}
}

// Whatever the zone, a daily job is due once on every civil day, in order, and at the time on the wall but where that is not shown.
func TestDailyIsOnceADay(t *testing.T) {
	zones := []string{"America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kolkata", "Pacific/Chatham", "America/St_Johns", "Africa/Casablanca", "UTC"}
	exact, moved := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		z := zone(t, rapid.SampledFrom(zones).Draw(t, "zone"))
		rule := rota.Daily{rapid.IntRange(0, 23).Draw(t, "hour"), rapid.IntRange(0, 59).Draw(t, "minute")}
		at := time.Date(rapid.IntRange(2000, 2035).Draw(t, "year"), time.Month(rapid.IntRange(1, 12).Draw(t, "month")), 1, 0, 0, 0, 0, time.UTC)
		at = rule.Next(at, z)
		for range 40 {
			next := rule.Next(at, z)
			if got := calendar.In(next, z).Sub(calendar.In(at, z)); got != 1 {
				t.Fatalf("%s is followed by %s: %d days", at.In(z), next.In(z), got)
			}
			if again := rule.Next(next.Add(-time.Microsecond), z); !again.Equal(next) {
				t.Fatalf("just before %s it is due at %s", next.In(z), again.In(z))
			}
			if l := next.In(z); l.Hour() == rule.Hour && l.Minute() == rule.Minute {
				exact++
			} else if moved++; l.Before(time.Date(l.Year(), l.Month(), l.Day(), 0, 0, 0, 0, z)) {
				t.Fatalf("%s is another day", l)
			}
			at = next
		}
	})
	if exact == 0 || moved > exact/20 {
		t.Errorf("%d on the minute, %d moved", exact, moved)
	}
}
