package almanac

import (
	"fmt"
	"io"
	"time"

	"solander/calendar"
)

// Promise is a day by which something of an order is due.
type Promise struct {
	UID     string // stays the same as long as the promise is kept, however its day changes
	Day     calendar.Day
	Summary string
	Detail  string // may be of several lines
}

// Promises writes a calendar of whole-day events that take no time of hers. name is shown as the calendar's; now
// stands as the instant at which it was made. Sources: RFC 5545, sections 3.4, 3.6.1 (UID and DTSTAMP are needed,
// DTSTART of a day alone is VALUE=DATE, and without an end it is one day); RFC 7986, sections 5.1 and 5.7.
func Promises(w io.Writer, name string, now time.Time, promises []Promise) error {
	var l lines
	l.add("BEGIN", "VCALENDAR")
	l.add("VERSION", "2.0")
	l.add("PRODID", "-//Solander//Promises//EN")
	l.add("CALSCALE", "GREGORIAN")
	l.text("NAME", name)
	l.add("REFRESH-INTERVAL;VALUE=DURATION", "PT1H")
	for _, p := range promises {
		l.add("BEGIN", "VEVENT")
		l.text("UID", p.UID)
		l.add("DTSTAMP", instant(now))
		l.add("DTSTART;VALUE=DATE", date(p.Day))
		l.text("SUMMARY", p.Summary)
		l.text("DESCRIPTION", p.Detail)
		l.add("TRANSP", "TRANSPARENT")
		l.add("END", "VEVENT")
	}
	l.add("END", "VCALENDAR")
	return l.writeTo(w)
}

// date is a day. Source: RFC 5545, section 3.3.4.
func date(d calendar.Day) string {
	y, m, day := d.Civil()
	return fmt.Sprintf("%04d%02d%02d", y, m, day)
}
