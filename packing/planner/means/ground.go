package means

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/tiers"
)

// Footings lists the distinct ways, in a fixed order; none for a wrap that lays sheets on one another only.
// Source: docs/formats/physics.md, section 2.
func (w *Wrap) Footings() []tiers.Footing {
	if w.InTier() == 1 {
		return nil
	}
	list := []tiers.Footing{{Oblong: tiers.Oblong{Long: measure.MaxLength, Short: measure.MaxLength}}}
	for i := range w.Stages {
		l := &w.Stages[i]
		if l.Each == packing.PerSheet {
			continue
		}
		var next []tiers.Footing
		for _, f := range list {
			for _, it := range l.Choices {
				if it.Kind == packing.Carton {
					for _, b := range it.Bases {
						next = append(next, inside(f, l, it, b.Long, b.Short))
					}
					continue
				}
				next = append(next, inside(f, l, it, it.Long, it.Short))
			}
			if l.Each == packing.PerGap {
				next = append(next, f) // all sheets may lie in one tier
			}
		}
		list = distinct(next)
		if l.Kind != packing.Tissue {
			break
		}
	}
	for i := range list {
		if !list[i].Soft {
			list[i].Once, list[i].Gap = 0, 0
		}
	}
	return distinct(list)
}

// inside adds an item of these sides.
func inside(f tiers.Footing, l *Layer, it *Item, long, short measure.Length) tiers.Footing {
	long, short = long-2*l.Clearance.Sides, short-2*l.Clearance.Sides
	switch it.Kind {
	case packing.Tissue:
		if l.Each == packing.PerGap {
			f.Gap += measure.Length(l.Number) * it.Caliper
		} else {
			f.Once += measure.Length(l.Number) * it.Caliper
		}
	case packing.Sleeve, packing.Envelope:
		if it.Soft {
			f.Soft, f.Bag = true, tiers.Oblong{Long: long, Short: short}
			f.Once += l.Clearance.Thickness
			return f
		}
	}
	f.Long, f.Short = min(f.Long, long), min(f.Short, short)
	return f
}

func distinct(list []tiers.Footing) []tiers.Footing {
	var out []tiers.Footing
	for _, f := range list {
		if !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}
