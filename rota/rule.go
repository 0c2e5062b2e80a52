package rota

import (
	"fmt"
	"time"

	"solander/calendar"
)

// Rule says when a job is due.
type Rule interface {
	// Next is the first instant after another at which the job is due, in a studio of that time zone.
	Next(after time.Time, zone *time.Location) time.Time
	// String says it in words. Another text is another rule: a job that had it is due by the new one.
	String() string
}

// Daily is due once on every civil day, at a time by the clock on the studio's wall.
type Daily struct{ Hour, Minute int }

func (d Daily) Next(after time.Time, zone *time.Location) time.Time {
	day := calendar.In(after, zone)
	for ; ; day = day.Add(1) {
		if at := onWall(day, d.Hour, d.Minute, zone); at.After(after) {
			return at
		}
	}
}

func (d Daily) String() string { return fmt.Sprintf("daily at %02d:%02d", d.Hour, d.Minute) }

// Weekly is due on one day of the week, at a time by the clock on the studio's wall.
type Weekly struct {
	On           time.Weekday
	Hour, Minute int
}

func (w Weekly) Next(after time.Time, zone *time.Location) time.Time {
	day := calendar.In(after, zone)
	for ; ; day = day.Add(1) {
		if at := onWall(day, w.Hour, w.Minute, zone); day.Weekday() == w.On && at.After(after) {
			return at
		}
	}
}

func (w Weekly) String() string { return fmt.Sprintf("every %s at %02d:%02d", w.On, w.Hour, w.Minute) }

// onWall is the instant at which the clock of a zone shows a time on a day. When the clock is set back and shows it twice, the first;
// when it is set forward past it, as if it had not been set yet.
// Source: RFC 5545, 3.3.5, "local time with time zone reference".
func onWall(day calendar.Day, hour, minute int, zone *time.Location) time.Time {
	y, m, d := day.Civil()
	naive := time.Date(y, m, d, hour, minute, 0, 0, time.UTC)
	const most = 26 * time.Hour // no zone is farther from UTC, and none is set twice within two days
	_, before := naive.Add(-most).In(zone).Zone()
	_, after := naive.Add(most).In(zone).Zone()
	first := naive.Add(-time.Duration(before) * time.Second)
	if shown(first, zone) == naive || before == after {
		return first
	}
	if then := naive.Add(-time.Duration(after) * time.Second); shown(then, zone) == naive {
		return then
	}
	return first
}

// shown is what the clock of a zone shows, as if it were UTC.
func shown(t time.Time, zone *time.Location) time.Time {
	t = t.In(zone)
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
}
