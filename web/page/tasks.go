package page

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"sync"
	"time"

	"solander/dayplan"
	"solander/fault"
	"solander/web/form"
)

// A reckoning is a computation that may take longer than a page should: it runs on, and its page is looked
// at anew until it is done, without any script. Stopping it keeps what is done.
type Reckoning struct {
	id    string
	Title string
	Room  string
	Show  func(w http.ResponseWriter, r *http.Request, result any) error
	stop  context.CancelFunc
	ended chan struct{}
	Word  string // what is done with each thing; "" = planned
	Halt  string // on the button; "" = what is done is kept

	mu        sync.Mutex
	done, all int
	result    any
	err       error
}

// Bounds on what is reckoned at a time and kept.
const (
	mostreckonings = 16               // the oldest makes room, and is stopped
	longestOne     = 10 * time.Minute // then it is stopped as if she had pressed the button
)

// reckonings are the latest computations. It is safe for concurrent use.
type reckonings struct {
	mu   sync.Mutex
	list []*Reckoning // oldest first
}

func (b *reckonings) add(x *Reckoning) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.list) == mostreckonings {
		b.list[0].stop()
		b.list = b.list[1:]
	}
	b.list = append(b.list, x)
}

func (b *reckonings) find(id string) *Reckoning {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, x := range b.list {
		if x.id == id {
			return x
		}
	}
	return nil
}

// Reckon starts a computation, keeps it, and waits a moment for it. It outlives the request.
func (f *Kit) Reckon(r *http.Request, x *Reckoning, run func(context.Context, dayplan.Tell) (any, error)) *Reckoning {
	x.begin(r, longestOne, run)
	f.reckonings.add(x)
	x.wait(r.Context(), f.Patience.Moment)
	return x
}

// Reckoned reckons when all that it follows from was read, and shows the answer: at once when it is quick, else on the page of
// the reckoning. wrong shows what went wrong; nil = as a page of its own.
func (f *Kit) Reckoned(w http.ResponseWriter, r *http.Request, x *Reckoning, run func(context.Context, dayplan.Tell) (any, error), wrong func(http.ResponseWriter, *http.Request, error) error) error {
	return After(w, r, func(w http.ResponseWriter) error {
		if f.Reckon(r, x, run); !x.Over() {
			http.Redirect(w, r, x.Path(), http.StatusSeeOther)
			return nil
		}
		if _, err := x.Outcome(); err != nil && wrong != nil {
			return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return wrong(w, r, err) })
		}
		return x.Answer(w, r)
	})
}

// begin starts a computation that ends with its time at the latest.
func (x *Reckoning) begin(r *http.Request, most time.Duration, run func(context.Context, dayplan.Tell) (any, error)) {
	ctx, stop := context.WithTimeout(context.WithoutCancel(r.Context()), most)
	ctx = dayplan.WithSearch(ctx, ctx, nil) // not that of the request
	x.id, x.stop, x.ended = NewOnce(), stop, make(chan struct{})
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
func guarded(ctx context.Context, tell dayplan.Tell, run func(context.Context, dayplan.Tell) (any, error)) (result any, err error) {
	defer func() {
		if broke := recover(); broke != nil {
			err = fault.New(fault.Internal, "the reckoning broke down").ToMend("ask again, and report it").Because(fmt.Errorf("%v", broke))
		}
	}()
	return run(ctx, tell)
}

func (x *Reckoning) tell(done, all int) {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.done, x.all = done, all
}

// wait waits a moment, and reports whether it is done.
func (x *Reckoning) wait(ctx context.Context, moment time.Duration) bool {
	select {
	case <-x.ended:
		return true
	case <-ctx.Done():
		return false
	case <-time.After(moment):
		return false
	}
}

func (x *Reckoning) Over() bool {
	select {
	case <-x.ended:
		return true
	default:
		return false
	}
}

func (x *Reckoning) Path() string { return "/reckoning/" + x.id }

// ReckoningPage shows how far a computation is.
type ReckoningPage struct {
	Frame
	Done, All int
	Word      string
	Halt      string
	Stop      *form.Form
}

// Share is how much of the bar is full, in thousandths.
func (p *ReckoningPage) Share() int {
	if p.All <= 0 {
		return 0
	}
	return min(1000, p.Done*1000/p.All)
}

func (f *Kit) reckoningOf(r *http.Request) (*Reckoning, error) {
	x := f.reckonings.find(r.PathValue("reckoning"))
	if x == nil {
		return nil, fault.New(fault.Missing, "this answer is no longer kept").ToMend("ask again")
	}
	return x, nil
}

// Reckoning shows the answer, or how far it is: then the browser is told to look again in a second.
func (f *Kit) Reckoning(w http.ResponseWriter, r *http.Request) error {
	x, err := f.reckoningOf(r)
	if err != nil {
		return err
	}
	if x.Over() {
		return x.Answer(w, r)
	}
	fr, err := f.Frame(r, x.Room, x.Title)
	if err != nil {
		return err
	}
	x.mu.Lock()
	p := &ReckoningPage{Frame: fr, Done: x.done, All: x.all, Word: cmp.Or(x.Word, "planned"), Halt: cmp.Or(x.Halt, "Stop, and keep what is done")}
	x.mu.Unlock()
	p.Stop = form.New("stop", x.Path()+"/stop")
	w.Header().Set("Refresh", "1")
	return f.Show(w, r, http.StatusOK, "reckoning", p)
}

func (x *Reckoning) Answer(w http.ResponseWriter, r *http.Request) error {
	result, err := x.Outcome()
	if err != nil {
		return err
	}
	return x.Show(w, r, result)
}

// Outcome is what came out; nothing as long as it goes on.
func (x *Reckoning) Outcome() (any, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.result, x.err
}

// StopReckoning ends a computation; its page then shows what is done.
func (f *Kit) StopReckoning(w http.ResponseWriter, r *http.Request) error {
	x, err := f.reckoningOf(r)
	if err != nil {
		return err
	}
	x.stop()
	x.wait(r.Context(), f.Patience.Moment)
	http.Redirect(w, r, x.Path(), http.StatusSeeOther)
	return nil
}
