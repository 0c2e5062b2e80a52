package weighing

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/packing/scale"
	"solander/studio"
)

// mostWeighed is how many of the latest parcels of a wrap are looked at: a year or two of them.
const mostWeighed = 500

// Learnt is what weighed parcels say of a wrap: those packed since its own mass last changed.
type Learnt struct {
	Wrap string         `json:"wrap"`
	Name string         `json:"name"`
	Own  measure.Mass   `json:"own"`  // what it weighs by itself, as it stands
	Then measure.Mass   `json:"then"` // and would, taken over
	Bias scale.Bias     `json:"bias"`
	Step measure.Mass   `json:"step"` // of the scale: a smaller difference is none
	Sure bool           `json:"sure"` // it is worth saying, and would change something
	Kept bool           `json:"kept"` // she left the mass as it is, and the difference is the same since
	Unit measure.System `json:"-"`
}

// Told reports whether it is said on the bench.
func (l Learnt) Told() bool { return l.Sure && !l.Kept }

// Text says the difference: "parcels of “Rolled in a tube” weigh 14 g more than planned, from 23 parcels".
func (l Learnt) Text() string {
	return fmt.Sprintf("parcels of “%s” weigh %s, from %s", l.Name, l.against(), fault.Count(l.Bias.Parcels, "parcel"))
}

// Says is Text as a sentence of its own.
func (l Learnt) Says() string { return "Your " + l.Text() + "." }

// Brief is Text beside the name of the wrap: "23 parcels weighed: 14 g more than planned".
func (l Learnt) Brief() string {
	return fmt.Sprintf("%s weighed: %s", fault.Count(l.Bias.Parcels, "parcel"), l.against())
}

func (l Learnt) against() string {
	if says := Amount(l.Bias.Off, l.Unit); says != "the same" {
		return says + " than planned"
	}
	return "as planned"
}

// Spread says how they differ: "half of them from 9 g to 18 g more".
func (l Learnt) Spread() string {
	if l.Bias.Parcels < 2 {
		return ""
	}
	return fmt.Sprintf("half of them from %s to %s", Amount(l.Bias.Quarter, l.Unit), Amount(l.Bias.Three, l.Unit))
}

// Amount says a difference: "14 g more".
func Amount(off measure.Mass, u measure.System) string {
	if off.About(u) == measure.Mass(0).About(u) || (-off).About(u) == measure.Mass(0).About(u) {
		return "the same"
	}
	if off < 0 {
		return (-off).About(u) + " less"
	}
	return off.About(u) + " more"
}

// All returns what weighed parcels say of each wrap, in the order of the wraps.
func All(ctx context.Context, s *studio.Studio) ([]Learnt, error) {
	return studio.Got(ctx, s, read, func(t *Weighing) ([]Learnt, error) {
		var out []Learnt
		for _, w := range t.Set.Wraps {
			l, err := t.learnt(w)
			if err != nil {
				return nil, err
			}
			out = append(out, l)
		}
		return out, nil
	})
}

// Told returns what is worth saying on the bench.
func Told(ctx context.Context, s *studio.Studio) ([]Learnt, error) {
	all, err := All(ctx, s)
	return slices.DeleteFunc(all, func(l Learnt) bool { return !l.Told() }), err
}

func (t *Weighing) learnt(w packing.Wrap) (Learnt, error) {
	found, err := t.Weighings(w.ID, w.Mass, mostWeighed)
	l := Learnt{Wrap: w.ID, Name: cmp.Or(w.Name, w.ID), Own: w.Mass, Step: t.Set.Margin.Parcel, Unit: t.Set.Units}
	var off []measure.Mass
	for _, x := range found {
		off = append(off, x.Weighed-x.Bare)
	}
	l.Bias = scale.Of(off)
	l.Then = l.Bias.Corrected(l.Own, t.Set.Units)
	l.Sure = l.Bias.Sure(l.Step) && l.Then != l.Own
	for _, u := range t.Set.Unheeded {
		if u.Wrap == w.ID && u.Own == w.Mass {
			l.Kept = !l.Bias.Moved(u.Off, l.Step)
		}
	}
	return l, err
}

// of finds a wrap by its key, with what its parcels say. Faults: Missing.
func (t *Weighing) of(wrap string) (Learnt, error) {
	at := slices.IndexFunc(t.Set.Wraps, func(w packing.Wrap) bool { return w.ID == wrap })
	if at < 0 {
		return Learnt{}, fault.New(fault.Missing, "there is no wrap %.60q", wrap).In("wrap").ToMend("choose one of the list")
	}
	return t.learnt(t.Set.Wraps[at])
}

// corrected is the settings with a wrap's own mass as its parcels say: the one rule of the trial and of the deed.
func corrected(set studio.Settings, l Learnt) studio.Settings {
	return weighingNow(set, l.Wrap, l.Then)
}

// weighingNow is the settings with another own mass of a wrap.
func weighingNow(set studio.Settings, wrap string, own measure.Mass) studio.Settings {
	set.Wraps = slices.Clone(set.Wraps)
	for i := range set.Wraps {
		if set.Wraps[i].ID == wrap {
			set.Wraps[i].Mass = own
		}
	}
	return set
}
