package demo

import (
	"sync"
	"time"

	"solander/calendar"
)

// Clock is the clock of the store while its past is written: it stands where the story is.
type Clock struct {
	mu  sync.Mutex
	now time.Time
}

// Now returns where the story is.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// turnTo sets the clock to an hour of a day at the studio.
func (c *Clock) turnTo(d calendar.Day, hour int) {
	y, m, day := d.Civil()
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = time.Date(y, m, day, hour, 0, 0, 0, zone())
}

// Zone is where the invented studio stands.
const Zone = "America/New_York"

func zone() *time.Location {
	loc, err := time.LoadLocation(Zone)
	if err != nil {
		return time.UTC // a machine without zone data: the hours differ, the days do not
	}
	return loc
}
