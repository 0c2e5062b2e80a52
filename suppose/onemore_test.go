package suppose_test

import (
	"context"
	"testing"

	"solander/calendar"
	"solander/internal/bed"
	"solander/suppose"
)

func TestOneMoreTellsHowFarItIs(t *testing.T) {
	b := bed.New(t)
	b.Ready(b.Heron.ID)
	b.Scarce(0, "envelope-13x17")
	var last [2]int
	more, err := suppose.AskOneMore(b.Ctx, b.Studio, calendar.Day{}, func(done, all int) {
		if done < last[0] || all < done {
			t.Errorf("%d of %d after %d of %d", done, all, last[0], last[1])
		}
		last = [2]int{done, all}
	})
	b.Must(err)
	if more.Of == 0 || more.Asked != more.Of || more.Stopped || last != [2]int{more.Of, more.Of} {
		t.Errorf("asked %d of %d, told %v", more.Asked, more.Of, last)
	}
	b.Scarce(2, "envelope-13x17") // another question, not in the cache
	stopped, stop := context.WithCancel(b.Ctx)
	more, err = suppose.AskOneMore(stopped, b.Studio, calendar.Day{}, func(int, int) { stop() })
	if err != nil || !more.Stopped || more.Asked > more.Of {
		t.Errorf("stopped: %+v, %v", more, err)
	}
}
