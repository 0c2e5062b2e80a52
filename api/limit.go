package api

import (
	"sync"
	"time"

	"solander/api/problem"
	"solander/fault"
)

// limits are buckets of tokens, one a feed: a request takes one, and they come back evenly, so many a minute. A
// full bucket holds a tenth of a minute's, at least ten. What is kept is the instant at which it is full again.
type limits struct {
	clock func() time.Time
	mu    sync.Mutex
	full  map[callers]time.Time
}

// callers is a feed by one of its ways in, so that messages to its web-hook do not hold up its calls. Feed 0 is everybody
// who could not be told.
type callers struct {
	feed int64
	by   way
}

type way int

const (
	byCall way = iota
	byHook
)

// mostBuckets bounds what is kept; those that are full again are dropped first.
const mostBuckets = 4096

func newLimits(clock func() time.Time) *limits {
	return &limits{clock: clock, full: map[callers]time.Time{}}
}

// take takes a token of a bucket. Faults: TooMany, with how long until there is one.
func (l *limits) take(who callers, aMinute int) error {
	every := time.Minute / time.Duration(max(1, aMinute))
	room := every * time.Duration(max(10, aMinute/10))
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.clock()
	full := l.full[who]
	if full.Before(now) || full.Sub(now) > room { // it is full again; or the clock was turned back
		full = now
	}
	full = full.Add(every)
	if wait := full.Sub(now) - room; wait > 0 {
		return problem.Later(fault.New(fault.TooMany, "more than %d requests came in a minute", aMinute).
			ToMend("wait %s", max(time.Second, wait.Round(time.Second))), wait)
	}
	if len(l.full) >= mostBuckets {
		l.forget(now)
	}
	l.full[who] = full
	return nil
}

func (l *limits) forget(now time.Time) {
	for who, full := range l.full {
		if full.Before(now) {
			delete(l.full, who)
		}
	}
}
