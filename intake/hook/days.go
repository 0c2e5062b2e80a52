package hook

import (
	"math"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
)

// DayForms returns the forms in which a sender may write days: "iso" is 2026-04-14 or an instant of RFC 3339,
// "d/m/y" and "m/d/y" have / . or - between digits and a year of four, "unix" and "unix-ms" are seconds and
// milliseconds since 1970. An instant falls on the day that it is in the studio's time zone.
func DayForms() []string { return []string{"iso", "d/m/y", "m/d/y", "unix", "unix-ms"} }

// readDay reads a day; "" is no day. Faults: Invalid.
func readDay(text, form string, place *time.Location) (calendar.Day, error) {
	if text == "" {
		return calendar.Day{}, nil
	}
	switch form {
	case "d/m/y", "m/d/y":
		return slashed(text, form == "m/d/y")
	case "unix", "unix-ms":
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return calendar.Day{}, fault.New(fault.Invalid, "%q is not a count of seconds", fault.Clip(text)).ToMend("look at the mapping's form of days")
		}
		at := time.Unix(max(math.MinInt32*60, min(n, math.MaxInt32*60)), 0)
		if form == "unix-ms" {
			at = time.UnixMilli(max(math.MinInt32*60_000, min(n, math.MaxInt32*60_000)))
		}
		return calendar.ParseDay(calendar.In(at, place).String())
	}
	if len(text) > len("2026-04-14") && len(text) <= 40 {
		at, err := time.Parse(time.RFC3339Nano, text)
		if err != nil {
			return calendar.Day{}, fault.New(fault.Invalid, "%q is neither a day nor an instant of RFC 3339", fault.Clip(text)).ToMend("look at the mapping's form of days")
		}
		return calendar.ParseDay(calendar.In(at, place).String())
	}
	return calendar.ParseDay(text)
}

// slashed reads 14/4/2026, or 4/14/2026 with the month in front.
func slashed(text string, monthFirst bool) (calendar.Day, error) {
	wrong := fault.New(fault.Invalid, "%q is not a day", fault.Clip(text)).ToMend("look at the mapping's form of days")
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == '/' || r == '.' || r == '-' })
	if len(parts) != 3 || len(parts[2]) != 4 || len(parts[0]) > 2 || len(parts[1]) > 2 {
		return calendar.Day{}, wrong
	}
	day, month := parts[0], parts[1]
	if monthFirst {
		day, month = month, day
	}
	two := func(s string) string { return strings.Repeat("0", 2-len(s)) + s }
	d, err := calendar.ParseDay(parts[2] + "-" + two(month) + "-" + two(day))
	if err != nil {
		return d, wrong.Because(err)
	}
	return d, nil
}
