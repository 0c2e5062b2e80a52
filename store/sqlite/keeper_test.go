package sqlite

import (
	"testing"
	"time"

	"solander/store/engine"
)

// TestRestIsAMinuteAtMost holds what the guide says of copying programs.
func TestRestIsAMinuteAtMost(t *testing.T) {
	if rest := (engine.Options{}).Filled().Rest; rest+2*sealEvery > time.Minute {
		t.Errorf("the log is brought into the file after %v", rest)
	}
}
