package dayplan

import (
	"slices"
	"strings"

	"solander/packing"
)

// bare says which kinds of packaging are wholly missing, and which wraps can therefore not be made; "" when every
// wrap has a piece for each of its layers. It stands behind the reason that holds an order: the planner tells how
// far it got with what there is, which is no help to one whose shelf has no sleeves at all.
func bare(p packing.Problem) string {
	var kinds, wraps []string
	for _, w := range p.Wraps {
		short := false
		for _, l := range w.Layers {
			if slices.ContainsFunc(p.Shelf, func(it packing.Item) bool { return serves(it, l) }) {
				continue
			}
			short = true
			if k := "no " + string(l.Kind); !slices.Contains(kinds, k) {
				kinds = append(kinds, k)
			}
		}
		if short {
			wraps = append(wraps, WrapName(w))
		}
	}
	if len(kinds) == 0 {
		return ""
	}
	return "; there is " + strings.Join(kinds, ", ") + " on the shelf, without which these wraps cannot be made: " + strings.Join(wraps, ", ")
}

// serves reports whether a piece of an item is there for a layer.
func serves(it packing.Item, l packing.Layer) bool {
	return it.Kind == l.Kind && (it.Stock == nil || *it.Stock > 0) && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID))
}
