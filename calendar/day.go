// Package calendar knows civil days and working days. It never reads the clock: the day is an argument.
package calendar

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"

	"solander/fault"
)

// Day is a civil date, without time or zone. The zero Day is "no day". Days compare with == and Before.
type Day struct {
	n int32 // days since 0000-12-31, so that 1 is 0001-01-01 and 0 is no day
}

const epoch = 719163 // n of 1970-01-01

// The earliest and latest days that input may name; outside lies a typing error.
var (
	Earliest = Date(1900, 1, 1)
	Latest   = Date(2199, 12, 31)
)

// Date returns a civil date; month and day overflow as in time.Date. A date that no Day can hold (some
// five million years away) is taken to be the last or first that one can.
func Date(year int, month time.Month, day int) Day {
	return fromUnix(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix())
}

func fromUnix(sec int64) Day {
	d := sec / 86400
	if sec%86400 < 0 {
		d--
	}
	return hold(d + epoch)
}

func hold(n int64) Day { return Day{int32(max(math.MinInt32, min(math.MaxInt32, n)))} }

// In returns the civil date of an instant in a place.
func In(t time.Time, place *time.Location) Day {
	y, m, d := t.In(place).Date()
	return Date(y, m, d)
}

// ParseDay reads "2026-04-14". Faults: Invalid for another form, a day that no month has, or one
// before Earliest or after Latest.
func ParseDay(text string) (Day, error) {
	if len(text) > 40 {
		return Day{}, fault.New(fault.Invalid, "%q is not a day", fault.Clip(text)).ToMend("write it like 2026-04-14")
	}
	t, err := time.Parse("2006-01-02", strings.TrimSpace(text))
	if err != nil {
		return Day{}, fault.New(fault.Invalid, "%q is not a day", fault.Clip(text)).ToMend("write it like 2026-04-14").Because(err)
	}
	d := fromUnix(t.Unix())
	if d.Before(Earliest) || Latest.Before(d) {
		return Day{}, fault.New(fault.Invalid, "%s is not between %s and %s", d, Earliest, Latest).ToMend("look at the year")
	}
	return d, nil
}

func (d Day) time() time.Time { return time.Unix(int64(d.n-epoch)*86400, 0).UTC() }

// IsZero reports "no day".
func (d Day) IsZero() bool { return d.n == 0 }

// Before reports whether d comes before e.
func (d Day) Before(e Day) bool { return d.n < e.n }

// After reports whether d comes after e.
func (d Day) After(e Day) bool { return d.n > e.n }

// Add returns the day n days later, or the last or first that a Day can hold.
func (d Day) Add(n int) Day {
	const most = math.MaxUint32 // further than from the first Day to the last
	return hold(int64(d.n) + max(-most, min(most, int64(n))))
}

// Sub returns how many days d is after e.
func (d Day) Sub(e Day) int { return int(d.n) - int(e.n) }

// Weekday returns the day of the week.
func (d Day) Weekday() time.Weekday { return d.time().Weekday() }

// Civil returns year, month and day of the month.
func (d Day) Civil() (int, time.Month, int) { return d.time().Date() }

// String prints "2026-04-14", or "" for no day.
func (d Day) String() string {
	if d.IsZero() {
		return ""
	}
	year, month, day := d.Civil()
	if year < 1000 || year > 9999 {
		return d.time().Format("2006-01-02")
	}
	text := [10]byte{4: '-', 7: '-'}
	put := func(at, n int) { text[at], text[at+1] = byte('0'+n/10), byte('0'+n%10) }
	put(0, year/100)
	put(2, year%100)
	put(5, int(month))
	put(8, day)
	return string(text[:])
}

// Long prints "Tue 14 Apr 2026", or "" for no day.
func (d Day) Long() string {
	if d.IsZero() {
		return ""
	}
	return d.time().Format("Mon 2 Jan 2006")
}

// Short prints "Tue 14 Apr", or "" for no day.
func (d Day) Short() string {
	if d.IsZero() {
		return ""
	}
	return d.time().Format("Mon 2 Jan")
}

// MarshalJSON writes "2026-04-14", or null for no day.
func (d Day) MarshalJSON() ([]byte, error) {
	if d.IsZero() {
		return []byte("null"), nil
	}
	return []byte(`"` + d.String() + `"`), nil
}

// UnmarshalJSON reads "2026-04-14"; null and "" are no day.
func (d *Day) UnmarshalJSON(b []byte) error {
	if string(b) == "null" || string(b) == `""` {
		*d = Day{}
		return nil
	}
	var s string
	if err := json.Unmarshal(b, &s); err != nil {
		return fault.New(fault.Invalid, "a day is written \"2026-04-14\"").Because(err)
	}
	v, err := ParseDay(s)
	if err != nil {
		return err
	}
	*d = v
	return nil
}

var _ fmt.Stringer = Day{}
