package brute

import (
	"slices"

	"solander/packing"
)

// MostWork is how many choices of packaging, roughly, a mixed problem may have for all sets of its sheets together. One in
// a hundred has more and is drawn anew: to look at all of them may take minutes.
const MostWork = 10_000

// Work is how many choices of packaging there are for all sets of sheets, roughly.
func Work(p *packing.Problem) int {
	all := 0
	for i := range p.Wraps {
		w := &p.Wraps[i]
		leaf, stack := 1, 1
		for j := range w.Layers {
			n := 0
			for k := range p.Shelf {
				item := &p.Shelf[k]
				if l := &w.Layers[j]; item.Kind == l.Kind && (len(l.Items) == 0 || slices.Contains(l.Items, item.ID)) {
					n += cuts(item)
				}
			}
			if w.Layers[j].Per == packing.PerSheet {
				leaf *= max(n, 1)
			} else {
				stack *= max(n, 1)
			}
		}
		for j := range p.Orders {
			for k := range p.Orders[j].Sheets {
				stack *= 1 + leaf*p.Orders[j].Sheets[k].Number()
			}
		}
		switch {
		case w.Beside > 0 || w.Shape == packing.Rolled:
			stack *= 4 // ways to lie
		case w.Shape == packing.Both:
			stack *= 12
		}
		all += stack
	}
	return all
}

// cuts is how many sizes an item may have.
func cuts(item *packing.Item) int {
	n := 1
	if c := item.Cut; c != nil {
		full := item.Height
		if item.Kind == packing.Tube {
			full = item.Length
		}
		n *= len(c.CutSizes(full))
	}
	if c := item.CutBase; c != nil {
		lengths, widths := c.Sizes(item.Length, item.Width)
		n *= len(lengths) * len(widths)
	}
	return n
}
