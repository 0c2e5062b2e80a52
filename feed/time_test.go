package feed

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// However the clock jumps, the feeds' time goes on by at least nothing and at most an hour a write, so that an answer is
// kept over 48 writes and over a thousand, whatever the clock says, and is forgotten some day.
func TestFeedTimeKnowsNoJumps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := time.Date(2026, 4, 14, 16, 0, 0, 0, time.UTC)
		var all []Time
		f := Time{}
		for range rapid.IntRange(1, 100).Draw(t, "writes") {
			now = now.Add(time.Duration(rapid.Int64Range(-1e18, 1e18).Draw(t, "jump")))
			was := f
			f = f.Next(now)
			if f.Seq != was.Seq+1 || f.Age < was.Age || f.Age-was.Age > longestStep {
				t.Fatalf("%+v follows %+v", f, was)
			}
			all = append(all, f)
		}
		gone := f.Forgotten()
		for _, x := range all {
			if x.Seq <= gone.Seq && x.Age < gone.Age {
				t.Fatalf("%+v is forgotten at %+v", x, f)
			}
		}
	})
	f := Time{}
	now := time.Date(2026, 4, 14, 16, 0, 0, 0, time.UTC)
	first := f.Next(now)
	for f = first; ; {
		gone := f.Forgotten()
		if first.Seq <= gone.Seq && first.Age < gone.Age {
			break
		}
		now = now.Add(20 * time.Minute)
		if f = f.Next(now); f.Seq > 2000 {
			t.Fatal("it is never forgotten")
		}
	}
	if f.Seq != 1001 || f.Age <= keepFor {
		t.Errorf("it is forgotten after %d writes and %v", f.Seq, f.Age)
	}
}
