package check

import (
	"iter"

	"solander/measure"
	"solander/packing"
)

// baseCut reads how the base of a carton is cut. Source: docs/formats/problem.md, section 5.
func (p *Packed) baseCut(c *chosen, e *packing.LayerPlan) {
	cut := c.item.CutBase
	read := func(side *measure.Length, to measure.Length, shortest func(*packing.CutBase) measure.Length) {
		if to == 0 {
			return
		}
		if c.item.Kind != packing.Carton || cut == nil || !stepped(to, shortest(cut), cut.Step, *side) {
			p.broken = append(p.broken, *malformed("plan.cut", "the base of %q cannot be cut to %d nm", e.Item, to))
			return
		}
		*side = to
	}
	read(&c.length, e.CutLength, func(b *packing.CutBase) measure.Length { return b.ShortestLength })
	read(&c.width, e.CutWidth, func(b *packing.CutBase) measure.Length { return b.ShortestWidth })
}

// stepped reports whether a size is the shortest, or so many steps above it and below the full one.
func stepped(size, shortest, step, full measure.Length) bool {
	return shortest > 0 && step > 0 && size < full && size >= shortest && (size-shortest)%step == 0
}

// cuts sets every size that an entry's item may have, in turn: uncut first.
func cuts(e *packing.LayerPlan, item *packing.Item) iter.Seq[struct{}] {
	return func(yield func(struct{}) bool) {
		defer func() { e.CutTo, e.CutLength, e.CutWidth = 0, 0, 0 }()
		var shortest, length, width, step, baseStep measure.Length
		if item.Cut != nil {
			shortest, step = item.Cut.Shortest, item.Cut.Step
		}
		if item.CutBase != nil {
			length, width, baseStep = item.CutBase.ShortestLength, item.CutBase.ShortestWidth, item.CutBase.Step
		}
		for e.CutTo = range sizes(shortest, step, fullSize(item)) {
			for e.CutLength = range sizes(length, baseStep, item.Length) {
				for e.CutWidth = range sizes(width, baseStep, item.Width) {
					if !yield(struct{}{}) {
						return
					}
				}
			}
		}
	}
}

// sizes lists 0, for uncut, and the sizes of a side that may be cut.
func sizes(shortest, step, full measure.Length) iter.Seq[measure.Length] {
	return func(yield func(measure.Length) bool) {
		if !yield(0) || shortest <= 0 || step <= 0 {
			return
		}
		for s := shortest; s < full; s += step {
			if !yield(s) {
				return
			}
		}
	}
}
