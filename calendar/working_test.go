package calendar_test

import (
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/calendar"
)

// Source: federal holidays as published each year by the United States Office of Personnel Management
// under 5 U.S.C. 6103 and Executive Order 11582, with the day of observance where the date falls on a
// weekend. Dates from memory, checked here against the weekdays that the law names. Juneteenth is a
// holiday from 2021 on (Public Law 117-17); 1 January 2022 was observed on 31 December 2021.
var observed = map[int][]string{
	2020: {"2020-01-01", "2020-01-20", "2020-02-17", "2020-05-25", "2020-07-03", "2020-09-07", "2020-10-12", "2020-11-11", "2020-11-26", "2020-12-25"},
	2021: {
		"2021-01-01", "2021-01-18", "2021-02-15", "2021-05-31", "2021-06-18", "2021-07-05", "2021-09-06", "2021-10-11", "2021-11-11",
		"2021-11-25", "2021-12-24", "2021-12-31",
	},
	2022: {"2022-01-17", "2022-02-21", "2022-05-30", "2022-06-20", "2022-07-04", "2022-09-05", "2022-10-10", "2022-11-11", "2022-11-24", "2022-12-26"},
	2023: {
		"2023-01-02", "2023-01-16", "2023-02-20", "2023-05-29", "2023-06-19", "2023-07-04", "2023-09-04", "2023-10-09", "2023-11-10",
		"2023-11-23", "2023-12-25",
	},
	2024: {
		"2024-01-01", "2024-01-15", "2024-02-19", "2024-05-27", "2024-06-19", "2024-07-04", "2024-09-02", "2024-10-14", "2024-11-11",
		"2024-11-28", "2024-12-25",
	},
	2025: {
		"2025-01-01", "2025-01-20", "2025-02-17", "2025-05-26", "2025-06-19", "2025-07-04", "2025-09-01", "2025-10-13", "2025-11-11",
		"2025-11-27", "2025-12-25",
	},
	2026: {
		"2026-01-01", "2026-01-19", "2026-02-16", "2026-05-25", "2026-06-19", "2026-07-03", "2026-09-07", "2026-10-12", "2026-11-11",
		"2026-11-26", "2026-12-25",
	},
}

func TestFederalHolidays(t *testing.T) {
	w := calendar.USFederal()
	for year, want := range observed {
		list := map[string]bool{}
		for _, d := range want {
			list[d] = true
		}
		for d := calendar.Date(year, 1, 1); !d.After(calendar.Date(year, 12, 31)); d = d.Add(1) {
			if name := w.Holiday(d); (name != "") != list[d.String()] {
				t.Errorf("%s: holiday %q, published as one: %v", d.Long(), name, list[d.String()])
			}
			if list[d.String()] && w.Is(d) {
				t.Errorf("%s is a working day", d.Long())
			}
		}
	}
	if name := w.Holiday(calendar.Date(2026, 7, 3)); name != "Independence Day" {
		t.Errorf("3 July 2026 is %q", name)
	}
	if calendar.Weekdays().Holiday(calendar.Date(2026, 12, 25)) != "" || !(calendar.Working{}).Is(calendar.Date(2026, 12, 25)) {
		t.Error("a calendar without public holidays knows one")
	}
}

// Source: 5 U.S.C. 6103(a): five holidays stand on named Mondays, Thanksgiving on the fourth Thursday; so in
// every year eleven are observed, each on Monday to Friday.
func TestEveryYearHasElevenHolidays(t *testing.T) {
	w := calendar.USFederal()
	for year := 2022; year <= 2199; year++ {
		n := 0
		for d := calendar.Date(year, 1, 1); !d.After(calendar.Date(year, 12, 31)); d = d.Add(1) {
			if w.Holiday(d) == "" {
				continue
			}
			n++
			if wd := d.Weekday(); wd == 0 || wd == 6 {
				t.Errorf("%s is a holiday on a weekend", d.Long())
			}
		}
		want := 11
		if calendar.Date(year, 1, 1).Weekday() == 6 {
			want-- // observed in the year before
		}
		if calendar.Date(year+1, 1, 1).Weekday() == 6 {
			want++
		}
		if n != want {
			t.Errorf("%d has %d holidays, want %d", year, n, want)
		}
	}
}

func TestAddAndBetween(t *testing.T) {
	w := calendar.USFederal(calendar.Date(2026, 4, 15))
	day := func(m time.Month, d int) calendar.Day { return calendar.Date(2026, m, d) }
	for _, c := range []struct {
		from calendar.Day
		n    int
		want calendar.Day
	}{
		{day(4, 13), 1, day(4, 14)},
		{day(4, 14), 1, day(4, 16)},   // the studio is closed on the 15th
		{day(4, 17), 1, day(4, 20)},   // Friday to Monday
		{day(4, 18), 0, day(4, 20)},   // from a Saturday: the next working day
		{day(4, 20), 0, day(4, 20)},   // a working day itself
		{day(7, 2), 1, day(7, 6)},     // 4 July 2026, a Saturday, is observed on the 3rd
		{day(4, 20), -1, day(4, 17)},  // backwards over a weekend
		{day(4, 16), -1, day(4, 14)},  // backwards over the closed day
		{day(4, 19), -1, day(4, 17)},  // from a Sunday
		{day(12, 24), 1, day(12, 28)}, // over Christmas, a Friday
	} {
		if got := w.Add(c.from, c.n); got != c.want {
			t.Errorf("%s and %d working days is %s, want %s", c.from.Long(), c.n, got.Long(), c.want.Long())
		}
	}
	if n := w.Between(day(4, 10), day(4, 17)); n != 4 {
		t.Errorf("from Friday to Friday it is %d working days, want 4 with one closed", n)
	}
	if n := w.Between(day(4, 17), day(4, 10)); n != -4 {
		t.Errorf("back it is %d, want -4", n)
	}
}

func TestLawsOfWorkingDays(t *testing.T) {
	for name, w := range map[string]calendar.Working{"federal": calendar.USFederal(calendar.Date(2030, 8, 1)), "weekdays": calendar.Weekdays()} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				d, e, f := days.Draw(t, "d"), days.Draw(t, "e"), days.Draw(t, "f")
				e, f = d.Add(e.Sub(d)%500), d.Add(f.Sub(d)%500)
				n := rapid.IntRange(1, 300).Draw(t, "n")
				later := w.Add(d, n)
				if !w.Is(later) || w.Between(d, later) != n {
					t.Fatalf("%d working days after %s is %s, working %v, %d between", n, d, later, w.Is(later), w.Between(d, later))
				}
				if start := w.Add(d, 0); !w.Is(start) || start.Before(d) || w.Add(w.Add(start, n), -n) != start {
					t.Fatalf("from %s, %d working days on and back is %s", start, n, w.Add(w.Add(start, n), -n))
				}
				if w.Between(d, e) != -w.Between(e, d) || w.Between(d, d) != 0 {
					t.Fatalf("%s to %s: %d, back %d", d, e, w.Between(d, e), w.Between(e, d))
				}
				if w.Between(d, e)+w.Between(e, f) != w.Between(d, f) {
					t.Fatalf("%s over %s to %s: %d and %d make no %d", d, e, f, w.Between(d, e), w.Between(e, f), w.Between(d, f))
				}
			})
		})
	}
}

// A promise of absurd length ends, and goes the right way.
func TestAddEnds(t *testing.T) {
	w, d := calendar.USFederal(), calendar.Date(2026, 4, 14)
	for _, n := range []int{1 << 62, -1 << 62, -1 << 63} {
		if got := w.Add(d, n); got.After(d) != (n > 0) {
			t.Errorf("%d working days on is %d days on", n, got.Sub(d))
		}
	}
}

func TestWorkingIsSafeTogether(t *testing.T) {
	w := calendar.USFederal()
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			for year := range 30 {
				if w.Is(calendar.Date(2000+year+i, 12, 25)) {
					t.Errorf("Christmas %d is a working day", 2000+year+i)
				}
			}
		})
	}
	all.Wait()
}

func BenchmarkBetweenOverAYear(b *testing.B) {
	w, from := calendar.USFederal(), calendar.Date(2026, 1, 1)
	for b.Loop() {
		if w.Between(from, from.Add(364)) != 250 {
			b.Fatal("2026 has 250 working days after New Year's Day")
		}
	}
}
