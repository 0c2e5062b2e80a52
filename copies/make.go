package copies

import (
	"context"
	"fmt"
	"io"
	"time"

	"solander/copies/ages"
	"solander/copies/place"
	"solander/copies/sealed"
	"solander/fault"
	"solander/house"
	"solander/rota"
	"solander/studio"
)

// write writes a copy of a studio, sealed when there is a key to seal it to.
func write(ctx context.Context, st *studio.Studio, w io.Writer, seal func(io.Writer) (io.WriteCloser, error)) error {
	if seal == nil {
		return house.Backup(ctx, st, w)
	}
	s, err := seal(w)
	if err != nil {
		return err
	}
	if err := house.Backup(ctx, st, s); err != nil {
		return err // and no end: what was written does not open
	}
	return s.Close()
}

func (p Plan) seal() func(io.Writer) (io.WriteCloser, error) {
	if p.Open {
		return nil
	}
	return func(w io.Writer) (io.WriteCloser, error) { return sealed.To(w, p.Public) }
}

// Make makes a copy at the place that was chosen, and lets go of those that are not kept any more. In a job of the rota nothing is let go
// and nothing noted when another program has taken over.
// Faults: Refused, Missing: the place cannot be used; nothing is let go then.
func (k *Keeper) Make(ctx context.Context, st *studio.Studio) (Made, error) {
	p, mark, err := planOf(ctx, st)
	if err != nil {
		return Made{}, err
	}
	at, err := k.place(p, mark)
	if err != nil {
		return Made{}, err
	}
	var m Made
	now := st.Clock().UTC().Truncate(time.Second)
	for try := range mostNames {
		m = Made{At: now.Add(time.Duration(try) * time.Second)}
		m.Name = ages.Name(mark, m.At, !p.Open)
		m.Put, err = at.Put(ctx, m.Name, func(w io.Writer) error { return write(ctx, st, w, p.seal()) })
		if !fault.Is(err, fault.Taken) {
			break
		}
	}
	if err != nil {
		return m, err
	}
	if err := k.note(ctx, st, func(p *Plan) { p.Last = &m }); err != nil {
		return m, err
	}
	m.Went, err = k.letGo(ctx, st, p, mark, at)
	return m, err
}

// mostNames is how many names are tried when copies are made within the same second.
const mostNames = 5

// letGo takes away the copies of this studio that are not kept by their age.
func (k *Keeper) letGo(ctx context.Context, st *studio.Studio, p Plan, mark string, at place.Place) (went int, err error) {
	set, err := st.Settings(ctx)
	if err != nil {
		return 0, err
	}
	names, err := at.Names(ctx)
	if err != nil {
		return 0, err
	}
	for _, c := range p.Keep.Goes(mark, names, set.Place()) {
		if err := at.Drop(ctx, c.Name); err != nil {
			return went, err
		}
		went++
	}
	return went, nil
}

// note changes what is noted of copies, unless another program has taken over.
func (k *Keeper) note(ctx context.Context, st *studio.Studio, change func(*Plan)) error {
	return st.Store.Write(ctx, func(tx studio.Tx) error {
		if rota.AtWork(ctx) {
			if err := rota.Mine(ctx, tx); err != nil {
				return err
			}
		}
		p, _, err := read(tx)
		if err != nil {
			return err
		}
		change(&p)
		return save(tx, p)
	})
}

// The jobs of the rota.
const (
	CopyJob  = "copy"
	DrillJob = "drill"
)

// DrillOn is when drills are held: a day of the week, an hour after the copy.
const DrillOn = time.Sunday

// Jobs are the scheduled work of this room: a copy every day, a drill every week.
func (k *Keeper) Jobs() []rota.Job {
	return []rota.Job{
		{Name: CopyJob, Due: k.due(func(p Plan) rota.Rule { return rota.Daily{Hour: p.Hour, Minute: p.Minute} }), Do: func(ctx context.Context, st *studio.Studio) (string, error) {
			m, err := k.Make(ctx, st)
			return fmt.Sprintf("%s, %s, read back", m.Name, Size(m.Size)), err
		}},
		{Name: DrillJob, Due: k.due(func(p Plan) rota.Rule {
			return rota.Weekly{On: DrillOn, Hour: (p.Hour + 1) % 24, Minute: p.Minute}
		}), Do: func(ctx context.Context, st *studio.Studio) (string, error) {
			d, err := k.Drill(ctx, st)
			said := d.Name + " was brought back whole"
			if d.Found > 0 {
				said = fmt.Sprintf("%s; the check finds %d things in the studio itself", said, d.Found)
			}
			return said, err
		}},
	}
}

// due is the rule of a job: none while no copies are made, and another program's where the keys are not on this machine.
func (k *Keeper) due(rule func(Plan) rota.Rule) func(context.Context, *studio.Studio) (rota.Rule, error) {
	return func(ctx context.Context, st *studio.Studio) (rota.Rule, error) {
		p, mark, err := planOf(ctx, st)
		if err != nil || p.To == "" {
			return nil, err
		}
		is, err := k.Keys.of(mark)
		switch {
		case err != nil:
			return rule(p), nil // the job itself says what is wrong with the keys
		case is.Studio == "":
			return rota.NotHere, nil
		}
		return rule(p), nil
	}
}

// Size is a number of bytes in words.
func Size(n int64) string {
	switch {
	case n < 10_000:
		return fmt.Sprintf("%d bytes", n)
	case n < 10_000_000:
		return fmt.Sprintf("%d kB", n/1000)
	}
	return fmt.Sprintf("%d MB", n/1_000_000)
}
