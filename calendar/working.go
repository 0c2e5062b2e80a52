package calendar

import (
	"sync"
	"time"

	"github.com/rickar/cal/v2"
	"github.com/rickar/cal/v2/us"
)

// Working is a calendar of working days: Monday to Friday, less public holidays on the day they are
// observed, less the days on which this studio is closed. The zero Working knows no holidays.
type Working struct {
	public *cal.BusinessCalendar
	mu     *sync.Mutex
	closed map[Day]bool
}

// USFederal returns the working calendar of the United States' federal holidays (5 U.S.C. 6103), each
// on the day it is observed, less the studio's own closed days.
func USFederal(closed ...Day) Working {
	c := cal.NewBusinessCalendar()
	c.AddHoliday(us.Holidays...)
	return Working{public: c, mu: new(sync.Mutex), closed: set(closed)}
}

// Weekdays returns a calendar that knows only weekends and the studio's own closed days.
func Weekdays(closed ...Day) Working { return Working{closed: set(closed)} }

func set(days []Day) map[Day]bool {
	m := make(map[Day]bool, len(days))
	for _, d := range days {
		m[d] = true
	}
	return m
}

// Is reports whether d is a working day.
func (w Working) Is(d Day) bool {
	if wd := d.Weekday(); wd == time.Saturday || wd == time.Sunday || w.closed[d] {
		return false
	}
	return w.Holiday(d) == ""
}

// Holiday names the public holiday observed on d, or returns "".
func (w Working) Holiday(d Day) string {
	if w.public == nil {
		return ""
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	y, m, day := d.Civil()
	_, observed, h := w.public.IsHoliday(time.Date(y, m, day, 12, 0, 0, 0, time.UTC))
	if !observed || h == nil {
		return ""
	}
	return h.Name
}

// Add returns the day n working days after d; d itself is never counted. For n = 0 it returns d when
// that is a working day, else the next one. Negative n counts backwards.
func (w Working) Add(d Day, n int) Day {
	step := 1
	if n < 0 {
		step, n = -1, -n
	}
	if n == 0 {
		for !w.Is(d) {
			d = d.Add(1)
		}
		return d
	}
	for n > 0 {
		d = d.Add(step)
		if w.Is(d) {
			n--
		}
	}
	return d
}

// Between counts the working days after from up to and including to; negative when to lies before from.
func (w Working) Between(from, to Day) int {
	if to.Before(from) {
		return -w.Between(to, from)
	}
	n := 0
	for d := from.Add(1); !d.After(to); d = d.Add(1) {
		if w.Is(d) {
			n++
		}
	}
	return n
}
