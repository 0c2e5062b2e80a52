// Package live tells who waits that something was written into the studio, in this program or in another one on the same store. It knows how
// many writes there were, and nothing of what they wrote. It asks the store only while somebody waits.
package live

import (
	"context"
	"sync"
	"time"

	"solander/fault"
	"solander/studio"
)

// How often the writes are counted: where the store tells of them, only in case that something was not heard.
const (
	quick = time.Second
	slow  = 15 * time.Second
)

// linger is for how long the store is asked on when nobody waits any more: a page that asks again in a moment is the usual case.
const linger = 30 * time.Second

// Most is how many may wait at once.
const Most = 64

// Bell tells of writes. It is safe for concurrent use.
type Bell struct {
	studio *studio.Studio
	until  context.Context

	mu      sync.Mutex
	waiting int
	watched bool
	left    time.Time // when the last one left
	writes  int64
	rung    chan struct{} // closed when writes rises
}

// New is a bell that ends with a context: then nobody waits on.
func New(until context.Context, s *studio.Studio) *Bell {
	return &Bell{studio: s, until: until, rung: make(chan struct{})}
}

// Await waits until the writes of the studio are not so many as since, and returns how many they are; since itself when ctx or the bell
// ended before. Faults: Busy when too many wait.
func (b *Bell) Await(ctx context.Context, since int64) (int64, error) {
	if err := b.enter(); err != nil {
		return since, err
	}
	defer b.leave()
	for {
		b.mu.Lock()
		writes, rung := b.writes, b.rung
		b.mu.Unlock()
		if writes != 0 && writes != since {
			return writes, nil
		}
		select {
		case <-rung:
		case <-ctx.Done():
			return since, nil
		case <-b.until.Done():
			return since, nil
		}
	}
}

func (b *Bell) enter() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.waiting >= Most {
		return fault.New(fault.Busy, "%d pages wait for changes already", b.waiting).ToMend("open this page anew to see what changed")
	}
	b.waiting++
	if !b.watched && b.until.Err() == nil {
		b.watched, b.writes = true, 0
		go b.watch()
	}
	return nil
}

func (b *Bell) leave() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.waiting--
	b.left = time.Now()
}

// over ends the watching when nobody waited for a while.
func (b *Bell) over() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.until.Err() == nil && (b.waiting > 0 || time.Since(b.left) < linger) {
		return false
	}
	b.watched = false
	return true
}

// watch counts the writes whenever the store tells of one, and now and again beside.
func (b *Bell) watch() {
	ctx, stop := context.WithCancel(b.until)
	defer stop()
	heard := make(chan struct{}, 1)
	var deaf chan struct{} // closed when the store does not tell, or no longer
	every := quick
	for last := (time.Time{}); !b.over(); {
		if deaf == nil && time.Since(last) > slow {
			deaf, last = make(chan struct{}), time.Now()
			go b.heed(ctx, heard, deaf)
		}
		b.count(ctx)
		next := time.NewTimer(every)
		select {
		case <-heard:
			every = slow
		case <-deaf:
			deaf, every = nil, quick
		case <-next.C:
		case <-ctx.Done():
		}
		next.Stop()
	}
	if deaf != nil {
		stop()
		<-deaf
	}
}

// heed lets the store tell of writes.
func (b *Bell) heed(ctx context.Context, heard, deaf chan<- struct{}) {
	defer close(deaf)
	_, _ = b.studio.Store.Heed(ctx, func() { // what it cannot tell is counted
		select {
		case heard <- struct{}{}:
		default:
		}
	})
}

// count rings when something was written. What cannot be counted just now is counted the next time.
func (b *Bell) count(ctx context.Context) {
	n, err := b.studio.Writes(ctx)
	if err != nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if n != b.writes {
		b.writes = n
		close(b.rung)
		b.rung = make(chan struct{})
	}
}
