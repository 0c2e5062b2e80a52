// Package rota does the scheduled work of a studio: what is due daily, weekly or every so often, and was missed while the computer
// slept is done when it wakes, once. Of all programs that have one studio open, one at a time does a job: it has a lease, kept in the
// database.
//
// The lease is taken when something is due, and given back when that is done; a studio at rest is only read. While it works, the holder
// says so several times within the time that the lease lasts. Whoever finds a lease that has not changed for so long, by a clock of its own,
// takes it, with a higher fence. Clocks of two machines are therefore never compared. A holder that was held up in the meantime (a
// computer that slept) finds the higher fence: its job's context ends, and what it says of the job is refused. Within a transaction of
// its own a job asks Mine, so that nothing it writes comes after another runner took over. What a job does outside the database may be
// begun twice for all that; it must not do harm then.
//
// A job that fails is tried again, after a quarter of an hour, then half an hour and so on, at its next time at the latest.
package rota

import (
	"context"
	"slices"
	"time"

	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

// Job is work that is due by a rule.
type Job struct {
	Name string // stable; it stands in the database
	// Due says by which rule it is due; nil = it is not due at present. It is asked at every look, and must be quick.
	Due func(ctx context.Context, st *studio.Studio) (Rule, error)
	// Do does it, and says in a sentence what came of it. Its context ends when the program does, or when the lease was lost.
	Do func(ctx context.Context, st *studio.Studio) (said string, err error)
}

// NotHere is the rule of a job that this program cannot do, and another one may: it is left to that.
var NotHere Rule = notHere{}

type notHere struct{}

func (notHere) Next(time.Time, *time.Location) time.Time { return time.Time{} }
func (notHere) String() string                           { return "" }

// Store is what this room asks of the store.
type Store interface {
	upkeep.RotaStore
	Settings() (studio.Settings, error)
	LeftFor() (upkeep.LeftFor, error)
	Now() time.Time
}

// work is one transaction as this room sees it.
type work struct {
	Store
	zone *time.Location
}

func in(tx Store) (work, error) {
	set, err := tx.Settings()
	return work{tx, set.Place()}, err
}

// asked opens the transactions of this room: it works on studios that are not set up, too.
func asked(ctx context.Context, open func(context.Context, func(studio.Tx) error) error, f func(work) error) error {
	return open(ctx, func(tx studio.Tx) error {
		w, err := in(tx)
		if err != nil {
			return err
		}
		return f(w)
	})
}

// Jobs are how all jobs stand that ever were, by name.
func Jobs(ctx context.Context, st *studio.Studio) (all []upkeep.RotaJob, err error) {
	err = asked(ctx, st.Store.Read, func(w work) (err error) {
		all, err = w.RotaJobs()
		return err
	})
	return all, err
}

// Standing is how a job stands; the zero RotaJob but for its name when it was never due.
func Standing(ctx context.Context, st *studio.Studio, name string) (upkeep.RotaJob, error) {
	all, err := Jobs(ctx, st)
	return named(all, name), err
}

func named(all []upkeep.RotaJob, name string) upkeep.RotaJob {
	if i := slices.IndexFunc(all, func(j upkeep.RotaJob) bool { return j.Name == name }); i >= 0 {
		return all[i]
	}
	return upkeep.RotaJob{Name: name}
}

// Ask asks for a job out of its turn: whichever program does the work does it at its next look.
func Ask(ctx context.Context, st *studio.Studio, name string) error {
	return asked(ctx, st.Store.Write, func(w work) error {
		all, err := w.RotaJobs()
		if err != nil {
			return err
		}
		j := named(all, name)
		j.Asked = w.Now()
		return w.SaveRotaJob(j)
	})
}

type fenceKey struct{}

// AtWork reports whether a context is that of a job.
func AtWork(ctx context.Context) bool { return ctx.Value(fenceKey{}) != nil }

// Mine is a fault when the runner that does the job of this context has lost its lease. A job asks it first in a transaction that must not
// stand when it has. Faults: Refused.
func Mine(ctx context.Context, tx interface{ Lease() (upkeep.Lease, error) }) error {
	fence, working := ctx.Value(fenceKey{}).(int64)
	if !working {
		return fault.New(fault.Internal, "this is no job of the rota")
	}
	l, err := tx.Lease()
	if err == nil && (l.Fence != fence || l.Holder == "") {
		err = errLost
	}
	return err
}

var errLost = fault.New(fault.Refused, "another program has taken over this work").ToMend("let it; nothing was changed")
