package planner

import (
	"slices"

	"solander/measure"
	"solander/packing"
)

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
