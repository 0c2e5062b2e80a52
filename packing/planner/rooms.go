package planner

import (
	"slices"

	"solander/measure"
	"solander/packing"
)

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

// footings lists the distinct ways, in a fixed order; none for a wrap that lays sheets on one another only.
// Source: docs/formats/physics.md, section 2.
func (w *wrap) footings() []footing {
	if w.InTier() == 1 {
		return nil
	}
	list := []footing{{oblong: oblong{measure.MaxLength, measure.MaxLength}}}
	for i := range w.layers {
		l := &w.layers[i]
		if l.per == packing.PerSheet {
			continue
		}
		var next []footing
		for _, f := range list {
			for _, it := range l.items {
				if it.Kind == packing.Carton {
					for _, b := range it.bases {
						next = append(next, f.inside(l, it, b.long, b.short))
					}
					continue
				}
				next = append(next, f.inside(l, it, it.long, it.short))
			}
			if l.per == packing.PerGap {
				next = append(next, f) // all sheets may lie in one tier
			}
		}
		list = distinct(next)
		if l.Kind != packing.Tissue {
			break
		}
	}
	for i := range list {
		if !list[i].soft {
			list[i].once, list[i].gap = 0, 0
		}
	}
	return distinct(list)
}

// inside adds an item of these sides.
func (f footing) inside(l *layer, it *item, long, short measure.Length) footing {
	long, short = long-2*l.Clearance.Sides, short-2*l.Clearance.Sides
	switch it.Kind {
	case packing.Tissue:
		if l.per == packing.PerGap {
			f.gap += measure.Length(l.count) * it.Caliper
		} else {
			f.once += measure.Length(l.count) * it.Caliper
		}
	case packing.Sleeve, packing.Envelope:
		if it.Soft {
			f.soft, f.bag = true, oblong{long, short}
			f.once += l.Clearance.Thickness
			return f
		}
	}
	f.long, f.short = min(f.long, long), min(f.short, short)
	return f
}

func distinct(list []footing) []footing {
	var out []footing
	for _, f := range list {
		if !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}
