package rota

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"

	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

const (
	// LookEvery is how often a program looks whether something is due.
	LookEvery = 10 * time.Second
	// usualLease is how long a lease lasts unless its holder says that it goes on.
	usualLease = time.Minute
	// beats is how often a holder says so within that time.
	beats = 4
	// firstRetry is after how long a job that failed is tried again; twice as long after each further failure.
	firstRetry = 15 * time.Minute
	// releaseTime is how long a program that ends may take to give its lease back.
	releaseTime = 3 * time.Second
)

// Runner is one program's part in the scheduled work of a studio. It is for one goroutine.
type Runner struct {
	Studio *studio.Studio
	Jobs   []Job
	Holder string        // which program this is, told apart from all others that have the studio open
	Lasts  time.Duration // of its leases; 0 = a minute

	seen  upkeep.Lease // as it was last
	since time.Time    // since when it has not changed, by this program's clock
	rules map[string]Rule
	told  string // what stands in the log already
}

// Run looks at each tick until ctx ends, then waits for the job that is running, which sees its context end.
func (r *Runner) Run(ctx context.Context, tick <-chan time.Time) {
	for {
		r.tell(ctx, r.Look(ctx))
		select {
		case <-ctx.Done():
			return
		case <-tick:
		}
	}
}

// tell logs why nothing can be done, once: a studio that may only be read stays so for long.
func (r *Runner) tell(ctx context.Context, err error) {
	now := ""
	if err != nil {
		now = err.Error()
	}
	if now != "" && now != r.told && ctx.Err() == nil {
		slog.WarnContext(ctx, "scheduled work waits", "err", err)
	}
	r.told = now
}

// Now does a job out of its turn and returns how it stands then: this runner does it or, when another program is at work, that one.
// Faults: those of the store; Busy when ctx ended first.
func (r *Runner) Now(ctx context.Context, name string, tick <-chan time.Time) (upkeep.RotaJob, error) {
	if err := Ask(ctx, r.Studio, name); err != nil {
		return upkeep.RotaJob{}, err
	}
	for {
		if err := r.Look(ctx); err != nil {
			return upkeep.RotaJob{}, err
		}
		j, err := Standing(ctx, r.Studio, name)
		if err != nil || j.Asked.IsZero() {
			return j, err
		}
		select {
		case <-ctx.Done():
			return j, fault.New(fault.Busy, "another program is at this work and has not ended it").ToMend("look again later").Because(ctx.Err())
		case <-tick:
		}
	}
}

func (r *Runner) lasts() time.Duration {
	if r.Lasts == 0 {
		return usualLease
	}
	return r.Lasts
}

// clock is without the monotonic reading, which stands still while some computers sleep.
func (r *Runner) clock() time.Time { return r.Studio.Clock().Round(0) }

// Look does what is due, if nobody else is at it. How a job ended is kept with it, and is no fault of Look.
// Faults: those of the store.
func (r *Runner) Look(ctx context.Context) error {
	ctx = studio.WithWho(ctx, "rota")
	if err := r.ask(ctx); err != nil {
		return err
	}
	var due, anew bool
	err := r.read(ctx, func(w work) error {
		due, anew = false, false
		if left, err := w.LeftFor(); err != nil || !left.At.IsZero() {
			return err // its work is done elsewhere
		}
		l, err := w.Lease()
		if err != nil {
			return err
		}
		r.watch(l)
		due, anew, err = r.due(w)
		due = due && r.free(l)
		return err
	})
	if err != nil || !due && !anew {
		return err
	}
	if anew {
		if err := r.write(ctx, r.reckon); err != nil || !due {
			return err
		}
	}
	return r.work(ctx)
}

// ask asks every job for its rule.
func (r *Runner) ask(ctx context.Context) error {
	r.rules = map[string]Rule{}
	for _, j := range r.Jobs {
		rule, err := j.Due(ctx, r.Studio)
		if err != nil {
			return err
		}
		r.rules[j.Name] = rule
	}
	return nil
}

// watch notes since when a lease stands as it does.
func (r *Runner) watch(l upkeep.Lease) {
	if now := r.clock(); r.since.IsZero() || l != r.seen || now.Before(r.since) {
		r.seen, r.since = l, now
	}
}

// free reports whether a lease, which is watched, may be taken.
func (r *Runner) free(l upkeep.Lease) bool {
	return l.Holder == "" || r.clock().Sub(r.since) >= l.Lasts
}

// due reports whether a job is due, and whether one is to be reckoned anew when it will be.
func (r *Runner) due(w work) (due, anew bool, err error) {
	all, err := w.RotaJobs()
	for _, j := range r.Jobs {
		is := named(all, j.Name)
		next := r.reckoned(is, w)
		due, anew = due || r.isDue(next, w), anew || next != is
	}
	return due, anew, err
}

func (r *Runner) isDue(j upkeep.RotaJob, w work) bool {
	return r.rules[j.Name] != NotHere && (!j.Asked.IsZero() || !j.Due.IsZero() && !j.Due.After(w.Now()))
}

// reckoned is how a job stands by its rule: due anew when the rule is another one, and never later than the rule says from now on, whatever
// a clock showed that was wrong when it was reckoned.
func (r *Runner) reckoned(j upkeep.RotaJob, w work) upkeep.RotaJob {
	rule := r.rules[j.Name]
	switch rule {
	case NotHere:
		return j
	case nil:
		j.Rule, j.Due = "", time.Time{}
		return j
	}
	next := kept(rule.Next(w.Now(), w.zone))
	if j.Rule != rule.String() || j.Due.IsZero() || j.Due.After(next) {
		j.Rule, j.Due = rule.String(), next
	}
	return j
}

// kept is an instant as the store keeps it.
func kept(t time.Time) time.Time { return t.UTC().Truncate(time.Microsecond) }

func (r *Runner) reckon(w work) error {
	all, err := w.RotaJobs()
	if err != nil {
		return err
	}
	for _, j := range r.Jobs {
		is := named(all, j.Name)
		if next := r.reckoned(is, w); next != is {
			if err := w.SaveRotaJob(next); err != nil {
				return err
			}
		}
	}
	return nil
}

// work takes the lease and does one due job after another.
func (r *Runner) work(ctx context.Context) error {
	fence, err := r.take(ctx)
	if err != nil || fence == 0 {
		return err
	}
	for _, j := range r.Jobs {
		if err = r.one(ctx, j, fence); err != nil {
			break
		}
	}
	ctx, stop := context.WithTimeout(context.WithoutCancel(ctx), releaseTime)
	defer stop()
	return errors.Join(lostIsNone(err), lostIsNone(r.held(ctx, fence, func(w work, l upkeep.Lease) error {
		l.Holder = ""
		return w.SaveLease(l)
	})))
}

// lostIsNone leaves out that another program took over: that is how it is meant.
func lostIsNone(err error) error {
	if errors.Is(err, errLost) {
		return nil
	}
	return err
}

// take takes the lease, and returns its fence; 0 when another program was quicker.
func (r *Runner) take(ctx context.Context) (fence int64, err error) {
	err = r.write(ctx, func(w work) error {
		fence = 0
		l, err := w.Lease()
		if err != nil {
			return err
		}
		if r.watch(l); !r.free(l) {
			return nil
		}
		fence = l.Fence + 1
		return w.SaveLease(upkeep.Lease{Holder: r.Holder, Fence: fence, Lasts: r.lasts()})
	})
	return fence, err
}

// held writes as the holder of a lease. Faults: errLost when it is another's by now.
func (r *Runner) held(ctx context.Context, fence int64, f func(work, upkeep.Lease) error) error {
	return r.write(ctx, func(w work) error {
		l, err := w.Lease()
		if err != nil {
			return err
		}
		if l.Fence != fence {
			return errLost
		}
		return f(w, l)
	})
}

// one does a job if it is due, and keeps how it ended.
func (r *Runner) one(ctx context.Context, j Job, fence int64) error {
	var is upkeep.RotaJob
	due := false
	err := r.held(ctx, fence, func(w work, _ upkeep.Lease) error {
		all, err := w.RotaJobs()
		if err != nil {
			return err
		}
		if is = named(all, j.Name); !r.isDue(is, w) {
			due = false
			return nil
		}
		due, is.Began = true, w.Now()
		return w.SaveRotaJob(is)
	})
	if err != nil || !due {
		return err
	}
	said, failed := r.do(ctx, j, fence)
	broken := ctx.Err() != nil // the program ends: the job is as due as it was
	ctx, stop := context.WithTimeout(context.WithoutCancel(ctx), releaseTime)
	defer stop()
	return r.held(ctx, fence, func(w work, _ upkeep.Lease) error {
		all, err := w.RotaJobs()
		if err != nil {
			return err
		}
		now := named(all, j.Name)
		return w.SaveRotaJob(r.ended(now, is, w, said, failed, broken))
	})
}

// ended is how a job stands after it was done, as it stood when it began in was.
func (r *Runner) ended(j, was upkeep.RotaJob, w work, said string, failed error, broken bool) upkeep.RotaJob {
	now := w.Now()
	j.Ended, j.Said = now, said
	if broken && failed != nil {
		j.Said = "it was broken off when the program ended"
		return j
	}
	if !j.Asked.After(was.Asked) {
		j.Asked = time.Time{} // who asked since asks for another time
	}
	if rule := r.rules[j.Name]; rule != nil {
		j.Due = kept(rule.Next(now, w.zone))
	}
	if failed == nil {
		j.Good, j.Failures = now, 0
		return j
	}
	j.Said = saidOf(failed)
	if again := kept(now.Add(firstRetry << min(j.Failures, 10))); !j.Due.IsZero() && again.Before(j.Due) {
		j.Due = again
	}
	j.Failures++
	return j
}

// saidOf is what is kept of a failure: what she can read, never what only the log may know.
func saidOf(err error) string {
	var f *fault.Error
	if !errors.As(err, &f) || f.Code == fault.Internal {
		return "something went wrong that is this program's own; its log says what"
	}
	return f.Error()
}

// do does a job, and says meanwhile that it goes on; the job's context ends when the lease is lost.
func (r *Runner) do(ctx context.Context, j Job, fence int64) (said string, err error) {
	ctx, stop := context.WithCancelCause(context.WithValue(ctx, fenceKey{}, fence))
	var beating sync.WaitGroup
	beating.Go(func() { r.beat(ctx, stop, fence) })
	defer func() {
		if p := recover(); p != nil {
			err = fault.New(fault.Internal, "job %s broke down: %v", j.Name, p)
		}
		stop(nil)
		beating.Wait()
		if err != nil {
			slog.WarnContext(ctx, "a job failed", "job", j.Name, "err", err)
		}
	}()
	return j.Do(ctx, r.Studio)
}

// beat says that the holder goes on. When it could not for as long as the lease lasts, the lease is as good as lost.
func (r *Runner) beat(ctx context.Context, lose context.CancelCauseFunc, fence int64) {
	tick := time.NewTicker(r.lasts() / beats)
	defer tick.Stop()
	last := r.clock()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		err := r.held(ctx, fence, func(w work, l upkeep.Lease) error {
			l.Beat++
			return w.SaveLease(l)
		})
		switch now := r.clock(); {
		case err == nil:
			last = now
		case errors.Is(err, errLost), now.Sub(last) >= r.lasts():
			lose(errLost)
			return
		}
	}
}

func (r *Runner) read(ctx context.Context, f func(work) error) error {
	return asked(ctx, r.Studio.Store.Read, f)
}

func (r *Runner) write(ctx context.Context, f func(work) error) error {
	return asked(ctx, r.Studio.Store.Write, f)
}
