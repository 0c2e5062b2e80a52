package planner

import "solander/measure"

// oblong is the largest rectangle that the sheets of a tier may take, longer side first.
type oblong struct{ long, short measure.Length }

// footing is a way to choose items for the layers up to the first that sets the footprint: all that limits
// how far sheets may spread side by side. A soft bag, in which the room shrinks with the thickness of its
// contents, shrinks alone: tissue laid before it has to cover the sheets and no more.
type footing struct {
	oblong        // before any soft bag
	bag    oblong // within a soft bag that lies flat
	soft   bool
	once   measure.Length // soft: what adds to the thickness of the tiers
	gap    measure.Length // soft: and in each gap
}

// within is the room for tiers that are so thick together.
func (f *footing) within(thick measure.Length, tiers int) oblong {
	r := f.oblong
	if f.soft {
		t := thick + f.once + f.gap*measure.Length(tiers-1)
		r.long, r.short = min(r.long, f.bag.long-t), min(r.short, f.bag.short-t)
	}
	return r
}
