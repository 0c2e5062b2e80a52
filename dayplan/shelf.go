package dayplan

import (
	"solander/packing"
)

// Uses counts the pieces of packaging in a planned parcel.
func Uses(p packing.Parcel) map[string]int {
	out := map[string]int{}
	for _, l := range p.Layers {
		out[l.Item] += l.Count
	}
	return out
}
