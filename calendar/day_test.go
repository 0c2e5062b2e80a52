package calendar_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
)

var days = rapid.Map(rapid.IntRange(0, calendar.Latest.Sub(calendar.Earliest)), calendar.Earliest.Add)

// A day printed reads as the same day, as text and in JSON; Add and Sub undo each other.
func TestLawsOfDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, e := days.Draw(t, "d"), days.Draw(t, "e")
		if got, err := calendar.ParseDay(d.String()); err != nil || got != d {
			t.Fatalf("%s reads %s, %v", d, got, err)
		}
		b, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		var got calendar.Day
		if err := json.Unmarshal(b, &got); err != nil || got != d {
			t.Fatalf("%s reads %s, %v", b, got, err)
		}
		if y, m, day := d.Civil(); calendar.Date(y, m, day) != d {
			t.Fatalf("%s is not %d-%d-%d", d, y, m, day)
		}
		n := rapid.IntRange(-200_000, 200_000).Draw(t, "n")
		if d.Add(n).Sub(d) != n || d.Add(n).Add(-n) != d || d.Add(e.Sub(d)) != e {
			t.Fatalf("%s and %s, %d days: Add and Sub disagree", d, e, n)
		}
		if d.Before(e) != (d.Sub(e) < 0) || d.After(e) != e.Before(d) {
			t.Fatalf("%s and %s: order and difference disagree", d, e)
		}
		if (int(d.Weekday())+n%7+7)%7 != int(d.Add(n).Weekday()) {
			t.Fatalf("%s is a %s, %d days on comes %s", d, d.Weekday(), n, d.Add(n).Weekday())
		}
	})
}

// Source: ISO 8601, 4.3: the reference date 20 May 1875 is a day of the Gregorian calendar; the rest are
// the calendar's leap rule (1900 and 2100 no leap years, 2000 one).
func TestCalendarIsGregorian(t *testing.T) {
	for _, c := range []struct{ before, after string }{
		{"1900-02-28", "1900-03-01"},
		{"2000-02-28", "2000-02-29"},
		{"2000-02-29", "2000-03-01"},
		{"2024-02-28", "2024-02-29"},
		{"2026-02-28", "2026-03-01"},
		{"2100-02-28", "2100-03-01"},
		{"1969-12-31", "1970-01-01"},
		{"2025-12-31", "2026-01-01"},
	} {
		d, err := calendar.ParseDay(c.before)
		if err != nil || d.Add(1).String() != c.after {
			t.Errorf("after %s comes %s, %v; want %s", c.before, d.Add(1), err, c.after)
		}
	}
	if d := calendar.Date(1875, 5, 20); d.Weekday() != time.Thursday {
		t.Errorf("20 May 1875 is a %s, want Thursday", d.Weekday())
	}
}

func TestPrint(t *testing.T) {
	d := calendar.Date(2026, 4, 14)
	var none calendar.Day
	for _, c := range []struct{ got, want string }{
		{d.String(), "2026-04-14"},
		{d.Long(), "Tue 14 Apr 2026"},
		{d.Short(), "Tue 14 Apr"},
		{none.String(), ""},
		{none.Long(), ""},
		{none.Short(), ""},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if !none.IsZero() || d.IsZero() {
		t.Error("only the zero Day is no day")
	}
}

func TestRefusedDays(t *testing.T) {
	for _, text := range []string{
		"", "tomorrow", "2026-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "2026-4-14", "14-04-2026", "04/14/2026", "20260414",
		"2026-04-14T00:00:00Z", "1899-12-31", "2200-01-01", "0026-04-14", "-2026-04-14", "2026-04-14\xff", strings.Repeat("2026-04-14", 1_000_000),
	} {
		_, err := calendar.ParseDay(text)
		if !fault.Is(err, fault.Invalid) {
			t.Errorf("%.40q gave %v", text, err)
			continue
		}
		if f := fault.All(err)[0]; f.Mend == "" || len(f.What) > 400 {
			t.Errorf("%.40q: fault without mend or too long: %+v", text, f)
		}
	}
}

func TestJSON(t *testing.T) {
	type promise struct {
		Day calendar.Day `json:"day"`
	}
	for text, want := range map[string]calendar.Day{
		`{"day":"2026-04-14"}`: calendar.Date(2026, 4, 14), `{"day":null}`: {},
	} {
		var got promise
		if err := json.Unmarshal([]byte(text), &got); err != nil || got.Day != want {
			t.Errorf("%s reads %s, %v", text, got.Day, err)
		}
		if b, err := json.Marshal(got); err != nil || string(b) != text {
			t.Errorf("%s is written %s, %v", text, b, err)
		}
	}
	for _, text := range []string{`5`, `"soon"`, `{}`, `true`, `"2026-02-30"`} {
		got := calendar.Date(2026, 4, 14)
		if err := json.Unmarshal([]byte(text), &got); !fault.Is(err, fault.Invalid) || got != calendar.Date(2026, 4, 14) {
			t.Errorf("%s gave %s, %v", text, got, err)
		}
	}
}

// The civil day of an instant depends on the place.
func TestIn(t *testing.T) {
	instant := time.Date(2026, 4, 14, 2, 30, 0, 0, time.UTC)
	west, east := time.FixedZone("west", -5*3600), time.FixedZone("east", 14*3600)
	if d := calendar.In(instant, west); d != calendar.Date(2026, 4, 13) {
		t.Errorf("in the west it is %s", d)
	}
	if d := calendar.In(instant.Add(10*time.Hour), east); d != calendar.Date(2026, 4, 15) {
		t.Errorf("in the east it is %s", d)
	}
}

// A day beyond all that a Day can hold stays at the edge: it never wraps round to the other end.
func TestDaysDoNotWrap(t *testing.T) {
	d := calendar.Date(2026, 4, 14)
	for _, n := range []int{math.MaxInt64, math.MaxInt32, math.MaxUint32 + 7} {
		if !d.Add(n).After(d) || !d.Add(-n).Before(d) {
			t.Errorf("%d days on comes %d days on", n, d.Add(n).Sub(d))
		}
	}
	if far := calendar.Date(9_000_000, 1, 1); !far.After(d) {
		t.Error("the year nine million lies before 2026")
	}
	if first, last := d.Add(math.MinInt64), d.Add(math.MaxInt64); last.Sub(first) != math.MaxUint32 {
		t.Errorf("from the first to the last day it is %d days", last.Sub(first))
	}
}

// Whatever text parses prints as one that parses to the same.
func FuzzParseDay(f *testing.F) {
	for _, text := range []string{"2026-04-14", " 2024-02-29 ", "2026-02-29", "1900-01-01", "2199-12-31"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := calendar.ParseDay(text)
		if err != nil {
			return
		}
		if back, err := calendar.ParseDay(d.String()); err != nil || back != d {
			t.Errorf("%q is %s, reads %s, %v", text, d, back, err)
		}
	})
}
