package check

import (
	"slices"
	"time"

	"solander/calendar"
	"solander/tariff"
)

// arrival is the latest day of arrival: the max-th day counted after the day of hand-over.
// Source: docs/formats/tariff.md, section 8.
func arrival(d *tariff.Days, handed calendar.Day, holidays []calendar.Day) calendar.Day {
	day := handed
	for left := d.Max; left > 0; {
		day = day.Add(1)
		if d.Counted != "calendar" && (day.Weekday() == time.Sunday || slices.Contains(holidays, day)) {
			continue
		}
		if d.Counted == "no-weekends-holidays" && day.Weekday() == time.Saturday {
			continue
		}
		left--
	}
	return day
}
