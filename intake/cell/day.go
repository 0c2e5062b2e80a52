package cell

import (
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"solander/calendar"
	"solander/fault"
	"solander/intake"
)

// DayRead is a day as it was written: year 0 when none was, doubtful when day and month may be the other way round.
type DayRead struct {
	Year  int
	Month time.Month
	Day   int
	Order bool // written in figures, so that the order of day and month counts
}

// DayOf reads a cell of days. ok is false when it holds none; then the trouble is why, or none for a blank cell.
func DayOf(c intake.Cell, order intake.DayOrder) (d DayRead, ok bool, t Trouble) {
	switch c.Kind {
	case intake.Blank:
		return d, false, t
	case intake.Date:
		y, m, n := c.Day.Civil()
		return DayRead{Year: y, Month: m, Day: n}, true, t
	case intake.Words:
		return DayText(c.Text, order)
	case intake.Number:
		return DayText(c.Number, order)
	}
	return d, false, badDay(c.Text)
}

func badDay(text string) Trouble {
	return Trouble{"day", "this is no day: " + fault.Clip(text), "write it like 2025-06-04 or 4 June 2025", true, ""}
}

// DayText reads a day with or without its year: "2025-06-04", "04.06.25", "6/4/2025", "4 June", "June 4th 2025",
// "Wed, 4. Juni 2025 14:30". Two digits of a year are of 1980 to 2079 (common practice, no source).
func DayText(text string, order intake.DayOrder) (d DayRead, ok bool, t Trouble) {
	if len(text) > 60 {
		return d, false, badDay(text)
	}
	parts := DayParts(text)
	switch intake.Fold(text) {
	case "", "n a", "na", "none", "tbd", "tbc", "unknown":
		return d, false, t
	}
	if len(parts) == 1 && len(parts[0]) == 8 && (parts[0][:2] == "19" || parts[0][:2] == "20") {
		parts = []string{parts[0][:4], parts[0][4:6], parts[0][6:]}
	}
	if len(parts) < 2 || len(parts) > 3 {
		return d, false, badDay(text)
	}
	named, at := time.Month(0), -1
	var n []int
	for i, p := range parts {
		if m, is := intake.MonthOf(p); is && at < 0 {
			named, at = m, i
			continue
		}
		v, err := strconv.Atoi(p)
		if err != nil || len(p) > 4 {
			return d, false, badDay(text)
		}
		n = append(n, v)
	}
	if at >= 0 {
		return namedDay(text, parts, named, at, n)
	}
	return figureDay(text, parts, n, order)
}

// DayParts splits a day into its figures and words, in small letters, without weekday, time of day, ordinal endings and
// words such as of.
func DayParts(text string) []string {
	s := strings.ToLower(strings.TrimSpace(text))
	if i := strings.IndexByte(s, ':'); i >= 0 { // a time of day
		if j := strings.LastIndexFunc(s[:i], func(r rune) bool { return !unicode.IsDigit(r) }); j >= 0 {
			s = strings.TrimSuffix(s[:j+1], "t")
		} else {
			return nil
		}
	}
	var all []string
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("./-,'’–", r) }) {
		for _, p := range lettersApart(f) {
			switch p {
			case "st", "nd", "rd", "th", "of", "the", "den", "le", "er", "at", "on", "de", "del", "el":
				continue
			}
			if !weekday(p) {
				all = append(all, p)
			}
		}
	}
	return all
}

// lettersApart parts figures from letters: "4th" is "4" and "th", "4jun25" is "4", "jun" and "25".
func lettersApart(s string) []string {
	var all []string
	start, digit := 0, false
	for i, r := range s {
		if d := unicode.IsDigit(r); i == 0 {
			digit = d
		} else if d != digit {
			all = append(all, s[start:i])
			start, digit = i, d
		}
	}
	return append(all, s[start:])
}

func weekday(p string) bool {
	switch p {
	case "lun", "mié", "mie", "jue", "vie", "sáb", "sab", "dom", "lunes", "martes", "miércoles", "miercoles", "jueves", "viernes", "sábado", "sabado", "domingo", "lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche":
		return true
	case "mo", "di", "mi", "do", "fr", "sa", "so", "mon", "tue", "tues", "wed", "thu", "thur", "thurs", "fri", "sat", "sun", "samstag", "sonntag", "mittwoch":
		return true
	}
	return len(p) > 5 && (strings.HasSuffix(p, "day") || strings.HasSuffix(p, "tag"))
}

// namedDay puts a day together whose month is a word at place at of its parts.
func namedDay(text string, parts []string, month time.Month, at int, n []int) (d DayRead, ok bool, t Trouble) {
	d.Month = month
	switch {
	case len(n) == 1 && (len(parts) == 2) && n[0] > 31:
		return d, false, Trouble{"day", "the day of the month is missing: " + fault.Clip(text), "write it like 4 June 2025", true, ""}
	case len(n) == 1:
		d.Day = n[0]
	case at == 0, at == 1:
		d.Day, d.Year = n[0], n[1]
		if n[0] > 31 && n[1] <= 31 { // 2025 June 4
			d.Day, d.Year = n[1], n[0]
		}
	default:
		return d, false, badDay(text)
	}
	return d.Checked(text)
}

// figureDay puts a day in figures together. Without an order, one that can be read both ways is not read.
func figureDay(text string, parts []string, n []int, order intake.DayOrder) (d DayRead, ok bool, t Trouble) {
	d.Order = true
	if len(n) == 3 && len(parts[0]) == 4 {
		d.Year, d.Month, d.Day, d.Order = n[0], time.Month(n[1]), n[2], false
		return d.Checked(text)
	}
	if len(n) == 3 {
		d.Year = n[2]
	}
	if len(n) == 2 && (len(parts[0]) == 4 || len(parts[1]) == 4 || !strings.ContainsAny(text, "./-")) {
		return d, false, badDay(text)
	}
	first, second := n[0], n[1]
	switch {
	case first > 12 || first == second:
		d.Day, d.Month = first, time.Month(second)
	case second > 12:
		d.Month, d.Day = time.Month(first), second
	case order == intake.DayMonth:
		d.Day, d.Month = first, time.Month(second)
	case order == intake.MonthDay:
		d.Month, d.Day = time.Month(first), second
	default:
		return d, false, Trouble{"day.order", "day and month can be read in two ways: " + fault.Clip(text), "say which comes first", true, "days"}
	}
	return d.Checked(text)
}

// Checked refuses days that no month has. The 29th of February may be of a year not written.
func (d DayRead) Checked(text string) (DayRead, bool, Trouble) {
	if d.Year > 0 && d.Year < 100 || d.Year == 0 && strings.Contains(text, "'00") {
		if d.Year += 2000; d.Year >= 2080 {
			d.Year -= 100
		}
	}
	year := d.Year
	if year == 0 {
		year = 2000
	}
	c := calendar.Date(year, d.Month, d.Day)
	_, m, n := c.Civil()
	if d.Month < 1 || d.Month > 12 || m != d.Month || n != d.Day || c.Before(calendar.Earliest) || c.After(calendar.Latest) {
		return d, false, badDay(text)
	}
	return d, true, Trouble{}
}

// In returns the day, in a year when none was written.
func (d DayRead) In(year int) calendar.Day {
	if d.Year != 0 {
		year = d.Year
	}
	return calendar.Date(year, d.Month, d.Day)
}

// Near returns the day in the year that brings it nearest to another day.
func (d DayRead) Near(other calendar.Day) calendar.Day {
	if d.Year != 0 || other.IsZero() {
		return d.In(d.Year)
	}
	y, _, _ := other.Civil()
	best := d.In(y)
	for _, year := range []int{y - 1, y + 1} {
		if c := d.In(year); abs(c.Sub(other)) < abs(best.Sub(other)) {
			best = c
		}
	}
	return best
}

func abs(n int) int { return max(n, -n) }

var dayAlone = regexp.MustCompile(`^(?:[\pL]{2,10}\.?,? )?([0-9]{1,2})(?:st|nd|rd|th|er|º|\.)?$`)

// AloneDay reads a day of the month that stands alone; 0 for anything else.
func AloneDay(c intake.Cell) int {
	text := c.Number
	if c.Kind == intake.Words {
		text = strings.ToLower(intake.Clean(c.Text))
	}
	m := dayAlone.FindStringSubmatch(text)
	if m == nil || c.Kind != intake.Words && c.Kind != intake.Number {
		return 0
	}
	n, _ := strconv.Atoi(m[1])
	if n > 31 {
		return 0
	}
	return n
}
