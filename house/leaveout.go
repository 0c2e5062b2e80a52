package house

import (
	"fmt"
	"slices"

	"solander/dayplan"
)

// LeaveOut takes the names of packaging that is not on the shelf out of the wraps, and says which, a sentence
// each. A layer that names none any more takes any of its kind: the wrap stays usable with what the studio has.
// It is for a first studio, whose shelf was cut down; later a wrap that names what is not there is refused.
func (in SetUpIn) LeaveOut() (SetUpIn, []string) {
	has := map[string]bool{}
	for _, it := range in.Shelf {
		has[it.Spec.ID] = true
	}
	var said []string
	wraps := slices.Clone(in.Settings.Wraps)
	for i := range wraps {
		wraps[i].Layers = slices.Clone(wraps[i].Layers)
		for j := range wraps[i].Layers {
			l := &wraps[i].Layers[j]
			var kept []string
			for _, id := range l.Items {
				if has[id] {
					kept = append(kept, id)
					continue
				}
				said = append(said, fmt.Sprintf("the wrap %s does not name %s: it is not on the shelf", dayplan.WrapName(wraps[i]), id))
			}
			if len(l.Items) > 0 && len(kept) == 0 {
				said = append(said, fmt.Sprintf("layer %d of the wrap %s takes any %s: none that it named is on the shelf", j+1, dayplan.WrapName(wraps[i]), l.Kind))
			}
			l.Items = kept
		}
	}
	in.Settings.Wraps = wraps
	return in, said
}
