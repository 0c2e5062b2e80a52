package record_test

import (
	"strings"
	"testing"

	"solander/calendar"
	"solander/internal/bed"
	"solander/paperwork"
	"solander/record"
)

// The sign list carries the newest checkpoint in its short form; its root is compared with the line of the checkpoint itself.
// Source of the form: C2SP tlog-checkpoint, the third line is the root in base64.
func TestShortCheckpointOnTheSignList(t *testing.T) {
	b := bed.New(t)
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	list, err := paperwork.SignPaper(b.Ctx, b.Studio, calendar.Day{})
	if b.Must(err); list.Register != "" {
		t.Errorf("nothing was signed yet: %q", list.Register)
	}
	for range 2 {
		b.Paid(b.Heron.ID)
		c, err := record.Sign(b.Ctx, b.Studio, "")
		b.Must(err)
		list, err = paperwork.SignPaper(b.Ctx, b.Studio, calendar.Day{})
		b.Must(err)
		lines := strings.Split(c.Body, "\n")
		for _, part := range []string{" " + lines[1] + " leaves", "root " + lines[2][:12] + "…", "key " + lines[0], calendar.In(c.At, set.Place()).Long()} {
			if !strings.Contains(list.Register, part) {
				t.Errorf("%q holds no %q", list.Register, part)
			}
		}
	}
}
