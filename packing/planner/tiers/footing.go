package tiers

import "solander/measure"

// Oblong is the largest rectangle that the sheets of a tier may take, longer side first.
type Oblong struct{ Long, Short measure.Length }

// Footing is a way to choose items for the layers up to the first that sets the footprint: all that limits
// how far sheets may spread side by side. A soft bag, in which the room shrinks with the thickness of its
// contents, shrinks alone: tissue laid before it has to cover the sheets and no more.
type Footing struct {
	Oblong        // before any soft bag
	Bag    Oblong // within a soft bag that lies flat
	Soft   bool
	Once   measure.Length // soft: what adds to the thickness of the tiers
	Gap    measure.Length // soft: and in each gap
}

// Within is the room for tiers that are so thick together.
func (f *Footing) Within(thick measure.Length, tiers int) Oblong {
	r := f.Oblong
	if f.Soft {
		t := thick + f.Once + f.Gap*measure.Length(tiers-1)
		r.Long, r.Short = min(r.Long, f.Bag.Long-t), min(r.Short, f.Bag.Short-t)
	}
	return r
}
