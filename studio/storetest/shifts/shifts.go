// Package shifts is the part of the contract that tells how scheduled work is kept and shared out.
package shifts

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"solander/fault"
	"solander/rota"
	"solander/studio"
	"solander/studio/storetest/bed"
	"solander/upkeep"
)

// Tests is this part of the contract, one sentence a rule.
var Tests = map[string]func(*testing.T, studio.Store){
	"the rota is kept":                              rotaKept,
	"a job is done when it is due, and once":        rotaDue,
	"a job that fails is tried again":               rotaFails,
	"a lease left behind is taken over, and fences": rotaOne,
	"many programs at once do each job once":        rotaMany,
	"a job that is broken off is due still":         rotaEnds,
}

func rotaKept(t *testing.T, s studio.Store) {
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.Lease()
		bed.Same(t, "nobody had it", upkeep.Lease{}, l)
		return err
	})
	at := time.Date(2031, 3, 4, 2, 30, 0, 123_000, time.UTC)
	first := upkeep.RotaJob{Name: "b", Rule: "daily at 02:30", Due: at, Asked: at.Add(1), Began: at, Ended: at, Good: at, Failures: 2, Said: "“all”\nis well"}
	first.Asked = first.Asked.Truncate(time.Microsecond)
	bed.Write(t, s, func(tx studio.Tx) error {
		return errors.Join(tx.SaveLease(upkeep.Lease{Holder: "a", Fence: 1, Lasts: time.Minute}), tx.SaveLease(upkeep.Lease{Holder: "b", Fence: 2, Beat: 7, Lasts: time.Hour}),
			tx.SaveRotaJob(upkeep.RotaJob{Name: "b"}), tx.SaveRotaJob(first), tx.SaveRotaJob(upkeep.RotaJob{Name: "a"}))
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.Lease()
		bed.Same(t, "who has it", upkeep.Lease{Holder: "b", Fence: 2, Beat: 7, Lasts: time.Hour}, l)
		if err != nil {
			return err
		}
		all, err := tx.RotaJobs()
		bed.Same(t, "jobs by name", []upkeep.RotaJob{{Name: "a"}, first}, all)
		return err
	})
	bed.Sound(t, s)
}

// wall is a clock that a test sets.
type wall struct{ now atomic.Int64 }

func wallAt(t time.Time) *wall {
	w := &wall{}
	w.now.Store(t.UnixMicro())
	return w
}

func (w *wall) Now() time.Time       { return time.UnixMicro(w.now.Load()).UTC() }
func (w *wall) pass(d time.Duration) { w.now.Add(d.Microseconds()) }

// office is a studio whose instants are those of a wall: what a store says of now is its own clock's.
type office struct {
	studio.Store
	wall *wall
}

type officeTx struct {
	studio.Tx
	now time.Time
}

func (t officeTx) Now() time.Time { return t.now }

func (o office) Write(ctx context.Context, f func(studio.Tx) error) error {
	return o.Store.Write(ctx, func(tx studio.Tx) error { return f(officeTx{tx, o.wall.Now()}) })
}

func (o office) Read(ctx context.Context, f func(studio.Tx) error) error {
	return o.Store.Read(ctx, func(tx studio.Tx) error { return f(officeTx{tx, o.wall.Now()}) })
}

// runner is a program that has the studio open, with a clock of its own.
func runner(s studio.Store, w *wall, name string, jobs ...rota.Job) *rota.Runner {
	return &rota.Runner{Studio: studio.New(office{s, w}, studio.Options{Clock: w.Now}), Holder: name, Jobs: jobs, Lasts: time.Minute}
}

var evening = time.Date(2031, 3, 4, 20, 0, 0, 0, time.UTC)

func look(t *testing.T, r *rota.Runner) {
	t.Helper()
	if err := r.Look(t.Context()); err != nil {
		t.Fatal(err)
	}
}

func standing(t *testing.T, r *rota.Runner, name string) upkeep.RotaJob {
	t.Helper()
	j, err := rota.Standing(t.Context(), r.Studio, name)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// rotaDue: a job is done when it is due, once for all the times that were slept through, and again when it is asked for or its rule changed.
func rotaDue(t *testing.T, s studio.Store) {
	w, done := wallAt(evening), 0
	var rule rota.Rule = rota.Daily{Hour: 2, Minute: 30}
	job := rota.Job{
		Name: "copy", Do: func(context.Context, *studio.Studio) (string, error) { done++; return fmt.Sprint("copy ", done), nil },
		Due: func(context.Context, *studio.Studio) (rota.Rule, error) { return rule, nil },
	}
	r := runner(s, w, "here", job)
	looked := func(what string, want int) {
		t.Helper()
		look(t, r)
		look(t, r)
		bed.Same(t, what, want, done)
	}
	due := func() string { return standing(t, r, "copy").Due.Format(time.DateTime) }
	looked("in the evening", 0)
	bed.Same(t, "due", "2031-03-05 02:30:00", due())
	w.pass(6*time.Hour + 30*time.Minute)
	looked("at half past two", 1)
	w.pass(10 * 24 * time.Hour) // the lid was shut
	looked("after ten days", 2)
	bed.Same(t, "how it stands", upkeep.RotaJob{Name: "copy", Rule: "daily at 02:30", Due: w.Now().Add(24 * time.Hour), Began: w.Now(), Ended: w.Now(), Good: w.Now(), Said: "copy 2"}, standing(t, r, "copy"))
	if err := rota.Ask(t.Context(), r.Studio, "copy"); err != nil {
		t.Fatal(err)
	}
	looked("when it is asked for", 3)
	rule = rota.Daily{Hour: 4}
	looked("by another rule", 3)
	bed.Same(t, "due", "2031-03-15 04:00:00", due())
	w.pass(-24 * time.Hour) // the clock was a day ahead, and is put right
	looked("a day before", 3)
	bed.Same(t, "due", "2031-03-14 04:00:00", due())
	rule = nil
	w.pass(48 * time.Hour)
	looked("without a rule", 3)
	bed.Same(t, "due", time.Time{}, standing(t, r, "copy").Due)
}

// rotaFails: what failed is told, and tried again ever later, but no later than its next time.
func rotaFails(t *testing.T, s studio.Store) {
	w, failing := wallAt(evening), errors.New("secret place on the disk")
	job := rota.Job{Name: "copy", Due: always(every(3 * time.Hour)), Do: func(context.Context, *studio.Studio) (string, error) { return "", failing }}
	r := runner(s, w, "here", job)
	look(t, r)
	var waits []time.Duration
	w.pass(3 * time.Hour)
	for range 6 {
		look(t, r)
		j := standing(t, r, "copy")
		waits = append(waits, j.Due.Sub(w.Now()))
		w.pass(j.Due.Sub(w.Now()))
	}
	const m = time.Minute
	bed.Same(t, "waits", []time.Duration{15 * m, 30 * m, 60 * m, 120 * m, 180 * m, 180 * m}, waits)
	bed.Same(t, "said of what is the program's own", "something went wrong that is this program's own; its log says what", standing(t, r, "copy").Said)
	failing = fault.New(fault.Refused, "the stick is full").ToMend("make room")
	look(t, r)
	bed.Same(t, "said", "the stick is full (make room)", standing(t, r, "copy").Said)
	failing = nil
	w.pass(3 * time.Hour)
	look(t, r)
	bed.Same(t, "failures", 0, standing(t, r, "copy").Failures)
	job.Do = func(context.Context, *studio.Studio) (string, error) { panic("broke down") }
	r = runner(s, w, "again", job)
	w.pass(3 * time.Hour)
	look(t, r)
	bed.Same(t, "failures after a breakdown", 1, standing(t, r, "copy").Failures)
}

// rotaOne: of two programs one does a job; the other takes over when the first was not heard of for as long as its lease lasts, and what
// the first says after that is refused.
func rotaOne(t *testing.T, s studio.Store) {
	here, there := wallAt(evening), wallAt(evening.Add(-26*time.Hour)) // clocks a day apart
	var first, second *rota.Runner
	var did []string
	var late error
	do := func(name string, meanwhile func()) rota.Job {
		return rota.Job{Name: "copy", Due: always(every(time.Hour)), Do: func(ctx context.Context, st *studio.Studio) (string, error) {
			did = append(did, name)
			meanwhile()
			late = st.Store.Write(ctx, func(tx studio.Tx) error { return rota.Mine(ctx, tx) })
			return name, nil
		}}
	}
	second = runner(s, there, "second", do("second", func() {}))
	first = runner(s, here, "first", do("first", func() {
		look(t, second) // it sees the lease, whatever its clock says
		there.pass(59 * time.Second)
		look(t, second)
		bed.Same(t, "done while the lease lasts", []string{"first"}, did)
		bed.Write(t, s, func(tx studio.Tx) error { // it is heard of
			l, err := tx.Lease()
			l.Beat++
			return errors.Join(err, tx.SaveLease(l))
		})
		there.pass(59 * time.Second)
		look(t, second)
		bed.Same(t, "done while it is heard of", []string{"first"}, did)
		there.pass(61 * time.Second)
		look(t, second)
	}))
	if err := rota.Ask(t.Context(), first.Studio, "copy"); err != nil {
		t.Fatal(err)
	}
	look(t, first)
	bed.Same(t, "done", []string{"first", "second"}, did)
	bed.Same(t, "what stands", "second", standing(t, first, "copy").Said)
	if !fault.Is(late, fault.Refused) {
		t.Errorf("the first may write after the second took over: %v", late)
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.Lease()
		bed.Same(t, "lease", upkeep.Lease{Fence: 2, Lasts: time.Minute}, l)
		return err
	})
}

// rotaMany: many programs at once look often, and each due time is done once.
func rotaMany(t *testing.T, s studio.Store) {
	w := wallAt(evening)
	var at, done atomic.Int64
	job := rota.Job{Name: "count", Due: always(every(time.Hour)), Do: func(context.Context, *studio.Studio) (string, error) {
		if n := at.Add(1); n != 1 {
			return "", fmt.Errorf("%d are at it", n)
		}
		defer at.Add(-1)
		done.Add(1)
		return "counted", nil
	}}
	look(t, runner(s, w, "before", job))
	const times = 5
	for range times {
		w.pass(time.Hour)
		var all sync.WaitGroup
		for i := range 6 {
			all.Go(func() {
				r := runner(s, w, fmt.Sprint(i), job)
				for range 3 {
					if err := r.Look(t.Context()); err != nil {
						t.Error(err)
					}
				}
			})
		}
		all.Wait()
	}
	bed.Same(t, "done", int64(times), done.Load())
	bed.Same(t, "failures", 0, standing(t, runner(s, w, "after", job), "count").Failures)
}

// rotaEnds: a job sees its context end with the program, and is due still.
func rotaEnds(t *testing.T, s studio.Store) {
	w := wallAt(evening)
	ctx, stop := context.WithCancel(t.Context())
	job := rota.Job{Name: "copy", Due: always(every(time.Hour)), Do: func(ctx context.Context, _ *studio.Studio) (string, error) {
		stop()
		<-ctx.Done()
		return "", ctx.Err()
	}}
	r := runner(s, w, "here", job)
	look(t, r)
	w.pass(time.Hour)
	due := standing(t, r, "copy").Due
	r.Run(ctx, nil) // returns
	j := standing(t, r, "copy")
	bed.Same(t, "due", due, j.Due)
	bed.Same(t, "said", "it was broken off when the program ended", j.Said)
	bed.Read(t, s, func(tx studio.Tx) error {
		l, err := tx.Lease()
		bed.Same(t, "holder", "", l.Holder)
		return err
	})
	done := false
	job.Do = func(context.Context, *studio.Studio) (string, error) { done = true; return "", nil }
	look(t, runner(s, w, "next", job))
	bed.Same(t, "done at the next start", true, done)
}

// every is the rule of what is due that long after it was done last.
type every time.Duration

func (e every) Next(after time.Time, _ *time.Location) time.Time { return after.Add(time.Duration(e)) }

func (e every) String() string { return "every " + time.Duration(e).String() }

// always is a rule that does not change.
func always(r rota.Rule) func(context.Context, *studio.Studio) (rota.Rule, error) {
	return func(context.Context, *studio.Studio) (rota.Rule, error) { return r, nil }
}
