// Package ages knows what copies are called, and which of them are kept: the newest always, then one a day, a week, a month and a year,
// so many of each. It touches no file: what is not called like a copy of one studio is never among those that it lets go.
package ages

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"solander/calendar"
)

// Copy is a copy by its name.
type Copy struct {
	Name   string    `json:"name"`
	Studio string    `json:"studio"` // its mark
	At     time.Time `json:"at"`     // when it was begun, UTC, in whole seconds
	Sealed bool      `json:"sealed"` // it needs a key to be read
}

// Tail ends the name of a copy that needs a key.
const Tail = ".age"

const form = "20060102T150405Z"

// Name is what the copy of a studio is called that is begun at an instant.
func Name(studio string, at time.Time, sealed bool) string {
	tail := ""
	if sealed {
		tail = Tail
	}
	return fmt.Sprintf("solander-%s-%s.copy%s", studio, at.UTC().Format(form), tail)
}

var named = regexp.MustCompile(`^solander-([0-9a-f]{16})-([0-9]{8}T[0-9]{6}Z)\.copy(\.age)?$`)

// Parse reads the name of a copy; false when it is none.
func Parse(name string) (Copy, bool) {
	m := named.FindStringSubmatch(name)
	if m == nil {
		return Copy{}, false
	}
	at, err := time.Parse(form, m[2])
	if err != nil {
		return Copy{}, false
	}
	return Copy{Name: name, Studio: m[1], At: at, Sealed: m[3] != ""}, true
}

// Of are the copies of one studio among names, newest first, and those of others.
func Of(studio string, names []string) (own, others []Copy) {
	for _, n := range names {
		switch c, ok := Parse(n); {
		case ok && c.Studio == studio:
			own = append(own, c)
		case ok:
			others = append(others, c)
		}
	}
	newestFirst := func(a, b Copy) int {
		if d := b.At.Compare(a.At); d != 0 {
			return d
		}
		return strings.Compare(a.Name, b.Name)
	}
	slices.SortFunc(own, newestFirst)
	slices.SortFunc(others, newestFirst)
	return own, others
}

// Policy says how many copies are kept: the newest one of each of the last so many days, weeks (from Monday), months and years in which
// copies were made.
type Policy struct {
	Days   int `json:"days"`
	Weeks  int `json:"weeks"`
	Months int `json:"months"`
	Years  int `json:"years"` // AllYears: all of them
}

// AllYears keeps one copy of each year, for ever.
const AllYears = -1

// Usual is what is kept unless she chose. Common practice, no source.
var Usual = Policy{Days: 7, Weeks: 4, Months: 12, Years: AllYears}

// classes are the periods of which one copy is kept, by the first day of each.
func (p Policy) classes() []class {
	return []class{
		{"day", p.Days, func(d calendar.Day) calendar.Day { return d }},
		{"week", p.Weeks, func(d calendar.Day) calendar.Day { return d.Add(-(int(d.Weekday()) + 6) % 7) }},
		{"month", p.Months, func(d calendar.Day) calendar.Day { y, m, _ := d.Civil(); return calendar.Date(y, m, 1) }},
		{"year", p.Years, func(d calendar.Day) calendar.Day { y, _, _ := d.Civil(); return calendar.Date(y, 1, 1) }},
	}
}

type class struct {
	name  string
	most  int
	begin func(calendar.Day) calendar.Day
}

// Kept says why each copy of a studio that is kept is: "newest", "day", "week", "month", "year". A copy that is not in it may go.
// Days are those of the zone.
func (p Policy) Kept(own []Copy, zone *time.Location) map[string][]string {
	own = slices.Clone(own)
	slices.SortFunc(own, func(a, b Copy) int {
		if d := b.At.Compare(a.At); d != 0 {
			return d
		}
		return strings.Compare(a.Name, b.Name)
	})
	kept := map[string][]string{}
	if len(own) == 0 {
		return kept
	}
	kept[own[0].Name] = []string{"newest"}
	for _, c := range p.classes() {
		seen := map[calendar.Day]bool{}
		for _, x := range own {
			period := c.begin(calendar.In(x.At, zone))
			if seen[period] || c.most != AllYears && len(seen) >= c.most {
				continue
			}
			seen[period] = true
			kept[x.Name] = append(kept[x.Name], c.name)
		}
	}
	return kept
}

// Goes are the copies of a studio among names that are not kept any more; what is called otherwise is not among them.
func (p Policy) Goes(studio string, names []string, zone *time.Location) []Copy {
	own, _ := Of(studio, names)
	kept := p.Kept(own, zone)
	return slices.DeleteFunc(own, func(c Copy) bool { return kept[c.Name] != nil })
}
