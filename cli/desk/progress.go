package desk

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"time"

	"solander/dayplan"
	"solander/fault"
)

// barAfter is how long a computation runs before its bar is drawn; barEvery how often it is drawn again.
const (
	barAfter = time.Second
	barEvery = 200 * time.Millisecond
)

// Waiting draws a bar on the error stream, when that is a terminal and the work takes more than a second,
// until the function it returns is called. Nothing is known of how far the work is.
func (d *Desk) Waiting(word string) (done func()) {
	_, done = d.Progress(word)
	return done
}

// Progress is waiting for work that tells how far it is.
func (d *Desk) Progress(word string) (tell func(done, all int), done func()) {
	if d.JSON || !terminal(d.Err) {
		return nil, func() {}
	}
	b := &bar{word: word, quit: make(chan struct{}), gone: make(chan struct{})}
	go b.draw(d)
	return b.tell, b.stop
}

// Searching is the context with which a command plans. The search ends after within, if that is given, or
// when the user stops it; then the best plans found so far are the answer, told as not proven. done ends the bar.
func (d *Desk) Searching(word string, within time.Duration) (ctx context.Context, done func(), err error) {
	if within < 0 {
		return nil, nil, fault.Invalidf("within", "%s is no time to search for", within).ToMend("write it like 5s or 2m")
	}
	until, stop := d.Ctx, context.CancelFunc(func() {})
	if within > 0 {
		until, stop = context.WithTimeout(d.Ctx, within)
	}
	tell, end := d.Progress(word)
	return dayplan.WithSearch(context.WithoutCancel(d.Ctx), until, tell), func() { end(); stop() }, nil
}

type bar struct {
	word       string
	mu         sync.Mutex
	done, all  int
	quit, gone chan struct{}
}

func (b *bar) tell(done, all int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.done, b.all = done, all
}

func (b *bar) stop() {
	close(b.quit)
	<-b.gone
}

func (b *bar) draw(d *Desk) {
	defer close(b.gone)
	select {
	case <-b.quit:
		return
	case <-time.After(barAfter):
	}
	tick := time.NewTicker(barEvery)
	defer tick.Stop()
	for n := 0; ; n++ {
		b.mu.Lock()
		line := barLine(b.word, b.done, b.all, n)
		b.mu.Unlock()
		fmt.Fprintf(d.Err, "\r%s", line)
		select {
		case <-b.quit:
			fmt.Fprintf(d.Err, "\r%s\r", strings.Repeat(" ", len([]rune(line))))
			return
		case <-tick.C:
		}
	}
}

// barWidth is the room of a bar in characters.
const barWidth = 30

// barLine is one line of a bar: a share that fills, or a mark that wanders where all is not known.
func barLine(word string, done, all, n int) string {
	if all <= 0 {
		at := n % barWidth
		return fmt.Sprintf("%s [%s#%s] ctrl-c stops", word, strings.Repeat(".", at), strings.Repeat(".", barWidth-at-1))
	}
	full := min(barWidth, max(0, done)*barWidth/all)
	return fmt.Sprintf("%s [%s%s] %d of %d, ctrl-c keeps what is done", word, strings.Repeat("#", full), strings.Repeat(".", barWidth-full), done, all)
}
