package desk

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"

	"solander/studio"
)

func TestABarFills(t *testing.T) {
	for _, tc := range []struct{ done, all, full int }{{0, 4, 0}, {1, 4, 7}, {2, 4, 15}, {4, 4, 30}, {9, 4, 30}} {
		line := barLine("planning", tc.done, tc.all, 0)
		if got := strings.Count(line, "#"); got != tc.full || strings.Count(line, ".") != barWidth-tc.full {
			t.Errorf("%d of %d: %d of %d filled: %s", tc.done, tc.all, got, barWidth, line)
		}
	}
	if a, b := barLine("cutting", 0, 0, 3), barLine("cutting", 0, 0, 4); a == b || len(a) != len(b) {
		t.Errorf("a bar of unknown length stands still: %q, %q", a, b)
	}
}

// A studio that takes long to open, as one that is brought up to date does, is told to be opening on a terminal, and what comes of it follows on a line of its own.
func TestASlowOpeningIsTold(t *testing.T) {
	screen, tty, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer screen.Close()
	slow := errors.New("not there")
	d := &Desk{Ctx: t.Context(), Err: tty, Env: Env{Clock: time.Now, Open: func(context.Context, string, func() time.Time) (studio.Store, error) {
		time.Sleep(barAfter + 3*barEvery)
		return nil, slow
	}}}
	if _, err := d.OpenAt("studio.db"); !errors.Is(err, slow) {
		t.Errorf("it says %v", err)
	}
	if err := tty.Close(); err != nil {
		t.Fatal(err)
	}
	seen := make([]byte, 4096)
	n, _ := screen.Read(seen) // what was drawn so far
	if !strings.Contains(string(seen[:n]), "opening the studio") {
		t.Errorf("it drew %q", seen[:n])
	}
}

func TestNoBarOnWhatIsNoScreen(t *testing.T) {
	var out strings.Builder
	tell, done := (&Desk{Err: &out}).Progress("planning")
	if tell != nil {
		t.Error("it would draw into a file")
	}
	done()
	if out.Len() > 0 {
		t.Errorf("it drew %q", out.String())
	}
}
