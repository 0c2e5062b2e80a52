package copies

import (
	"context"
	"time"

	"solander/copies/ages"
	"solander/rota"
	"solander/studio"
	"solander/upkeep"
)

// After how long it is said loudly that there was no good copy, or no good drill. Common practice, no source.
const (
	CopyTooOld  = 3 * 24 * time.Hour
	DrillTooOld = 21 * 24 * time.Hour
)

// View is how the copies of a studio stand.
type View struct {
	Plan
	Mark     string         `json:"mark,omitempty"`
	Left     upkeep.LeftFor `json:"left,omitzero"`
	Copy     upkeep.RotaJob `json:"copy"`
	Drill    upkeep.RotaJob `json:"drill"`
	CopyOld  bool           `json:"copy_too_old"`  // there should have been one since
	DrillOld bool           `json:"drill_too_old"` //
	Zone     *time.Location `json:"-"`
	Now      time.Time      `json:"-"`
}

// Running reports whether a job is asked for, or at work.
func (v View) Running() bool {
	return !v.Copy.Asked.IsZero() || !v.Drill.Asked.IsZero() || v.Copy.Began.After(v.Copy.Ended) || v.Drill.Began.After(v.Drill.Ended)
}

// Loud reports whether something about the copies should not wait.
func (v View) Loud() bool { return v.To != "" && (v.CopyOld || v.DrillOld) }

// Look is how the copies stand. It asks the database alone, and no place.
func Look(ctx context.Context, st *studio.Studio) (v View, err error) {
	err = st.Read(ctx, func(t *studio.Turn) error {
		tx := asked(t)
		if v.Plan, v.Mark, err = read(tx); err != nil {
			return err
		}
		if v.Left, err = tx.LeftFor(); err != nil {
			return err
		}
		jobs, err := tx.RotaJobs()
		if err != nil {
			return err
		}
		for _, j := range jobs {
			switch j.Name {
			case CopyJob:
				v.Copy = j
			case DrillJob:
				v.Drill = j
			}
		}
		v.Zone, v.Now = t.Set.Place(), t.Now
		v.CopyOld, v.DrillOld = v.tooOld()
		return nil
	})
	return v, err
}

// tooOld reports whether the last good copy, and the last good drill, are too long ago.
func (v View) tooOld() (last, drilled bool) {
	since := func(at time.Time, most time.Duration) bool { return v.Now.Sub(at) > most }
	last, drilled = since(v.Since, CopyTooOld), since(v.Since, DrillTooOld)
	if v.Last != nil {
		last = since(v.Last.At, CopyTooOld)
	}
	if v.Drilled != nil {
		drilled = since(v.Drilled.At, DrillTooOld)
	}
	return last, drilled
}

// Lying is a copy that lies at the place, and why it is kept.
type Lying struct {
	ages.Copy
	Why []string `json:"why"`
}

// List looks at the place: copies of this studio, newest first, and how many of other studios lie there, which nothing touches.
func (k *Keeper) List(ctx context.Context, st *studio.Studio) (own []Lying, others int, err error) {
	p, mark, err := planOf(ctx, st)
	if err != nil || p.To == "" {
		return nil, 0, err
	}
	set, err := st.Settings(ctx)
	if err != nil {
		return nil, 0, err
	}
	at, err := k.place(p, mark)
	if err != nil {
		return nil, 0, err
	}
	names, err := at.Names(ctx)
	if err != nil {
		return nil, 0, err
	}
	mine, theirs := ages.Of(mark, names)
	why := p.Keep.Kept(mine, set.Place())
	for _, c := range mine {
		own = append(own, Lying{c, why[c.Name]})
	}
	return own, len(theirs), nil
}

// AskCopy and AskDrill ask for one out of its turn; the program that serves the studio does it within seconds.
func AskCopy(ctx context.Context, st *studio.Studio) error  { return rota.Ask(ctx, st, CopyJob) }
func AskDrill(ctx context.Context, st *studio.Studio) error { return rota.Ask(ctx, st, DrillJob) }
