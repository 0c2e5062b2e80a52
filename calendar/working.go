package calendar

import (
	"sync"
	"time"

	"github.com/rickar/cal/v2/us"
)

// Working is a calendar of working days: Monday to Friday, less public holidays on the day they are
// observed, less the days on which this studio is closed. The zero Working knows no holidays. It may be
// used from several goroutines at once.
type Working struct {
	public *holidays
	closed map[Day]bool
}

// holidays holds the public holidays of the years asked for so far, by the day of observance.
type holidays struct {
	mu    sync.Mutex
	years map[int]map[Day]string
}

// USFederal returns the working calendar of the United States' federal holidays (5 U.S.C. 6103), each
// on the day it is observed (the Friday before a Saturday, the Monday after a Sunday), less the studio's
// own closed days. Inauguration day, which holds in one district only, is not among them.
func USFederal(closed ...Day) Working {
	return Working{public: &holidays{years: map[int]map[Day]string{}}, closed: set(closed)}
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

// of returns the holidays observed around a year: those of the year itself and of the one after, whose
// first may be observed on 31 December.
func (h *holidays) of(year int) map[Day]string {
	h.mu.Lock()
	defer h.mu.Unlock()
	if m, ok := h.years[year]; ok {
		return m
	}
	m := map[Day]string{}
	for _, y := range []int{year, year + 1} {
		for _, holiday := range us.Holidays {
			if _, observed := holiday.Calc(y); !observed.IsZero() {
				m[Date(observed.Date())] = holiday.Name
			}
		}
	}
	h.years[year] = m
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
	year, _, _ := d.Civil()
	return w.public.of(year)[d]
}

// Add returns the day n working days after d; d itself is never counted. For n = 0 it returns d when
// that is a working day, else the next one. Negative n counts backwards. At most a hundred thousand
// days are walked either way: a promise further off is a typing error.
func (w Working) Add(d Day, n int) Day {
	step := 1
	if n < 0 {
		step, n = -1, -max(n, -100_000)
	}
	if n == 0 {
		d, n = d.Add(-1), 1
	}
	for walked := 0; n > 0 && walked < 100_000; walked++ {
		d = d.Add(step)
		if w.Is(d) {
			n--
		}
	}
	return d
}

// Between counts the working days after from up to and including to; when to lies before from it is the
// negative of the same count the other way round. So Between(d, Add(d, n)) is n for every n above 0.
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
