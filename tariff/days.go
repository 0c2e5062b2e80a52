package tariff

import (
	"slices"
	"time"

	"solander/calendar"
)

// Arrives returns the latest expected day of arrival of a parcel handed over on a day: the Max-th day
// that counts after it.
func (d *Days) Arrives(handed calendar.Day, holidays []calendar.Day) calendar.Day {
	day := handed
	for n := 0; n < d.Max; {
		day = day.Add(1)
		if d.counts(day, holidays) {
			n++
		}
	}
	return day
}

func (d *Days) counts(day calendar.Day, holidays []calendar.Day) bool {
	if d.Counted == CalendarDays {
		return true
	}
	if w := day.Weekday(); w == time.Sunday || w == time.Saturday && d.Counted == WeekDays {
		return false
	}
	return !slices.Contains(holidays, day)
}
