package web

import (
	"context"
	"fmt"
	"net/http"
	"sync"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
)

// A reckoning is a computation that may take longer than a page should: it runs on, and its page is looked
// at anew until it is done, without any script. Stopping it keeps what is done.
type reckoning struct {
	id    string
	title string
	room  string
	show  func(w http.ResponseWriter, r *http.Request, result any) error
	stop  context.CancelFunc
	ended chan struct{}
	word  string // what is done with each thing; "" = planned
	halt  string // on the button; "" = what is done is kept

	mu        sync.Mutex
	done, all int
	result    any
	err       error
}

// Bounds on what is reckoned at a time and kept.
const (
	mostReckonings = 16               // the oldest makes room, and is stopped
	longestOne     = 10 * time.Minute // then it is stopped as if she had pressed the button
	atOnce         = 900 * time.Millisecond
)

// reckonings are the latest computations. It is safe for concurrent use.
type reckonings struct {
	mu   sync.Mutex
	list []*reckoning // oldest first
}

func (b *reckonings) add(x *reckoning) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.list) == mostReckonings {
		b.list[0].stop()
		b.list = b.list[1:]
	}
	b.list = append(b.list, x)
}

func (b *reckonings) find(id string) *reckoning {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, x := range b.list {
		if x.id == id {
			return x
		}
	}
	return nil
}

// reckon starts a computation, keeps it, and waits a moment for it. It outlives the request.
func (f *face) reckon(r *http.Request, x *reckoning, run func(context.Context, studio.Tell) (any, error)) *reckoning {
	x.begin(r, longestOne, run)
	f.reckonings.add(x)
	x.wait(r.Context())
	return x
}

// begin starts a computation that ends with its time at the latest.
func (x *reckoning) begin(r *http.Request, most time.Duration, run func(context.Context, studio.Tell) (any, error)) {
	ctx, stop := context.WithTimeout(context.WithoutCancel(r.Context()), most)
	ctx = studio.WithSearch(ctx, ctx, nil) // not that of the request
	x.id, x.stop, x.ended = newOnce(), stop, make(chan struct{})
	go func() {
		defer stop()
		defer close(x.ended)
		result, err := guarded(ctx, x.tell, run)
		x.mu.Lock()
		defer x.mu.Unlock()
		x.result, x.err = result, err
	}()
}

// guarded runs a computation; one that breaks down is a fault of ours and ends nothing else.
func guarded(ctx context.Context, tell studio.Tell, run func(context.Context, studio.Tell) (any, error)) (result any, err error) {
	defer func() {
		if broke := recover(); broke != nil {
			err = fault.New(fault.Internal, "the reckoning broke down").ToMend("ask again, and report it").Because(fmt.Errorf("%v", broke))
		}
	}()
	return run(ctx, tell)
}

func (x *reckoning) tell(done, all int) {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.done, x.all = done, all
}

// wait waits a moment, and reports whether it is done.
func (x *reckoning) wait(ctx context.Context) bool {
	select {
	case <-x.ended:
		return true
	case <-ctx.Done():
		return false
	case <-time.After(atOnce):
		return false
	}
}

func (x *reckoning) over() bool {
	select {
	case <-x.ended:
		return true
	default:
		return false
	}
}

func (x *reckoning) path() string { return "/reckoning/" + x.id }

// reckoningPage shows how far a computation is.
type reckoningPage struct {
	frame
	Done, All int
	Word      string
	Halt      string
	Stop      *form
}

// Share is how much of the bar is full, in thousandths.
func (p *reckoningPage) Share() int {
	if p.All <= 0 {
		return 0
	}
	return min(1000, p.Done*1000/p.All)
}

func (f *face) reckoningOf(r *http.Request) (*reckoning, error) {
	x := f.reckonings.find(r.PathValue("reckoning"))
	if x == nil {
		return nil, fault.New(fault.Missing, "this answer is no longer kept").ToMend("ask again")
	}
	return x, nil
}

// reckoning shows the answer, or how far it is: then the browser is told to look again in a second.
func (f *face) reckoning(w http.ResponseWriter, r *http.Request) error {
	x, err := f.reckoningOf(r)
	if err != nil {
		return err
	}
	if x.over() {
		return x.answer(w, r)
	}
	fr, err := f.frame(r, x.room, x.title)
	if err != nil {
		return err
	}
	x.mu.Lock()
	p := &reckoningPage{frame: fr, Done: x.done, All: x.all, Word: firstOf(x.word, "planned"), Halt: firstOf(x.halt, "Stop, and keep what is done")}
	x.mu.Unlock()
	p.Stop = newForm("stop", x.path()+"/stop")
	w.Header().Set("Refresh", "1")
	return f.show(w, r, http.StatusOK, "reckoning", p)
}

func (x *reckoning) answer(w http.ResponseWriter, r *http.Request) error {
	result, err := x.outcome()
	if err != nil {
		return err
	}
	return x.show(w, r, result)
}

// outcome is what came out; nothing as long as it goes on.
func (x *reckoning) outcome() (any, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.result, x.err
}

// stopReckoning ends a computation; its page then shows what is done.
func (f *face) stopReckoning(w http.ResponseWriter, r *http.Request) error {
	x, err := f.reckoningOf(r)
	if err != nil {
		return err
	}
	x.stop()
	x.wait(r.Context())
	http.Redirect(w, r, x.path(), http.StatusSeeOther)
	return nil
}

// savingsPage is what one more piece of packaging would save today.
type savingsPage struct {
	frame
	studio.OneMore
}

// savings asks what one more piece would save.
func (f *face) savings(w http.ResponseWriter, r *http.Request) error {
	x := &reckoning{title: "One more piece", room: "drawer"}
	x.show = func(w http.ResponseWriter, r *http.Request, result any) error {
		fr, err := f.frame(r, "drawer", x.title)
		if err != nil {
			return err
		}
		found, ok := result.(studio.OneMore)
		if !ok {
			return fmt.Errorf("web: %T is no answer about one more piece", result)
		}
		return f.show(w, r, http.StatusOK, "savings", &savingsPage{fr, found})
	}
	day, err := queryDay(r)
	if err != nil {
		return err
	}
	f.reckon(r, x, func(ctx context.Context, tell studio.Tell) (any, error) { return f.studio.OneMore(ctx, day, tell) })
	if x.over() {
		return x.answer(w, r)
	}
	http.Redirect(w, r, x.path(), http.StatusSeeOther)
	return nil
}

// glance is how long the shelf's page asks what one more piece would save; the page of its own asks on.
const glance = 300 * time.Millisecond

// tellSavings puts on the shelf what is known at a glance of what one more piece would save.
func (f *face) tellSavings(ctx context.Context, shelf []shelfGroup) {
	ctx, stop := context.WithTimeout(ctx, glance)
	defer stop()
	found, err := f.studio.OneMore(ctx, calendar.Day{}, nil)
	if err != nil {
		f.log.Debug("what one more would save is not told", "err", err)
		return
	}
	for _, g := range shelf {
		for i := range g.Items {
			for _, m := range found.Items {
				if m.ID == g.Items[i].ID {
					g.Items[i].OneMore = m.Text
				}
			}
		}
	}
}
