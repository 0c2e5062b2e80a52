package weighing

import (
	"context"
	"slices"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// HeedIn takes over what weighed parcels say of a wrap, or leaves its mass as it is.
type HeedIn struct {
	Wrap  string
	Leave bool
	Then  *measure.Mass // the mass that she saw; Refused when it is another one now
}

// undoHeeded is what taking it back needs.
type undoHeeded struct {
	Wrap     string            `json:"wrap"`
	Before   measure.Mass      `json:"before"`
	After    measure.Mass      `json:"after"`
	Left     bool              `json:"left,omitempty"`
	Unheeded []studio.Unheeded `json:"unheeded,omitempty"` // of the wrap, before
}

// Heed gives a wrap the own mass that its weighed parcels speak for, in one write; those parcels do not count again. Or it leaves the
// mass as it is, and what they say is not said again until it is another by more than a step of the scale. It returns what was said.
// Faults: Missing; Refused when nothing is sure enough, or it is not what she saw.
func Heed(ctx context.Context, s *studio.Studio, in HeedIn) (Learnt, error) {
	return studio.Got(ctx, s, write, func(t *Weighing) (Learnt, error) {
		l, err := t.of(in.Wrap)
		if err != nil {
			return l, err
		}
		u := t.Set.Units
		if !l.Sure {
			return l, fault.New(fault.Refused, "its parcels say nothing sure: %s weighed since its mass last changed", fault.Count(l.Bias.Parcels, "parcel")).At("%s", l.Name).In("wrap").
				ToMend("weigh more of them")
		}
		if in.Then != nil && *in.Then != l.Then {
			return l, fault.New(fault.Refused, "it would weigh %s now, not %s: another parcel was weighed", l.Then.In(u), in.Then.In(u)).At("%s", l.Name).In("then").ToMend("look at it again")
		}
		undo := undoHeeded{Wrap: l.Wrap, Before: l.Own, After: l.Then, Left: in.Leave}
		set := corrected(t.Set, l)
		if in.Leave {
			set, undo.After = t.Set, l.Own
		}
		set.Unheeded = nil
		for _, x := range t.Set.Unheeded {
			if x.Wrap == l.Wrap {
				undo.Unheeded = append(undo.Unheeded, x)
			} else if slices.ContainsFunc(t.Set.Wraps, func(w packing.Wrap) bool { return w.ID == x.Wrap }) {
				set.Unheeded = append(set.Unheeded, x)
			}
		}
		if in.Leave {
			set.Unheeded = append(set.Unheeded, studio.Unheeded{Wrap: l.Wrap, Own: l.Own, Off: l.Bias.Off})
		}
		if err := t.SaveSettings(set); err != nil {
			return l, err
		}
		text := "“%[1]s” weighs %[2]s besides its layers from now on, not %[3]s: %[4]s"
		if in.Leave {
			text = "“%[1]s” weighs %[3]s besides its layers still, not %[2]s, though %[4]s"
		}
		_, err = t.Journal(studio.MarkWrapMass, 0, undo, text, l.Name, l.Then.In(u), l.Own.In(u), l.Text())
		return l, err
	})
}

// UndoHeed gives a wrap the mass back that it had. Faults: Refused when it was changed or taken out since.
func (t *Weighing) UndoHeed(u undoHeeded) error {
	at := slices.IndexFunc(t.Set.Wraps, func(w packing.Wrap) bool { return w.ID == u.Wrap })
	if at < 0 {
		return fault.New(fault.Refused, "the wrap was taken out since")
	}
	if w := t.Set.Wraps[at]; w.Mass != u.After {
		return fault.New(fault.Refused, "the wrap weighs %s besides its layers now", w.Mass.In(t.Set.Units)).ToMend("write the mass in the wrap itself")
	}
	set := weighingNow(t.Set, u.Wrap, u.Before)
	set.Unheeded = append(slices.DeleteFunc(slices.Clone(set.Unheeded), func(x studio.Unheeded) bool { return x.Wrap == u.Wrap }), u.Unheeded...)
	return t.SaveSettings(set)
}
