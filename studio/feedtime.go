package studio

import (
	"time"
)

// FeedTime is the feeds' own time, which no jump of the clock can turn: what was answered under a key must not be forgotten because
// a machine woke up in another year. Seq counts the writes of all feeds. Age is how long they took: what the clock says between one
// and the next, but never less than nothing, and never more than an hour, however long nobody wrote.
type FeedTime struct {
	Seq   int64
	Age   time.Duration
	Clock time.Time // what the clock said then; only its difference to the next one counts
}

const (
	// longestStep is what a write moves the feeds' time on by at most.
	longestStep = time.Hour
	// keepFor is how long answers and messages are kept by the feeds' time: a day is promised.
	keepFor = 48 * time.Hour
	// keepLast is how many of the latest are kept, however old they are.
	keepLast = 1000
)

// Next is the time of the next write.
func (f FeedTime) Next(now time.Time) FeedTime {
	step := min(max(now.Sub(f.Clock), 0), longestStep)
	if f.Seq == 0 {
		step = 0
	}
	return FeedTime{Seq: f.Seq + 1, Age: f.Age + step, Clock: now}
}

// Forgotten is the time up to which nothing is known any more.
func (f FeedTime) Forgotten() FeedTime { return FeedTime{Seq: f.Seq - keepLast, Age: f.Age - keepFor} }
