package packing

import (
	"fmt"
	"strings"

	"solander/measure"
)

// Mat is how the sheets of a flat parcel lie side by side in tiers: the rectangle that they take together,
// from the lower left corner. A parcel in which each sheet lies on the one below has none.
type Mat struct {
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	Tiers  []Tier         `json:"tiers"` // from the bottom up
}

// Tier is the sheets that lie beside one another, each as its layers per sheet have left it.
type Tier struct {
	Thickness measure.Length `json:"thickness"` // of the thickest
	Spots     []Spot         `json:"spots"`
}

// Spot is where one copy of a sheet lies: its lower left corner, and its sides as it lies.
type Spot struct {
	Order  string         `json:"order,omitempty"` // in a parcel of several orders: of which
	Sheet  string         `json:"sheet"`
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
}

// MostBeside is how many sheets may lie side by side in one tier at most.
const MostBeside = 8

// InTier returns how many sheets may lie in one tier: absent means one.
func (w *Wrap) InTier() int { return max(w.Beside, 1) }

// Words says how many lie side by side: "2 side by side", "in 2 tiers, from the bottom up: 2 side by side, then 1".
func (m *Mat) Words() string {
	var counts []string
	for _, t := range m.Tiers {
		c := fmt.Sprint(len(t.Spots))
		if len(t.Spots) > 1 {
			c += " side by side"
		}
		counts = append(counts, c)
	}
	if len(counts) == 1 {
		return counts[0]
	}
	return fmt.Sprintf("in %d tiers, from the bottom up: %s", len(counts), strings.Join(counts, ", then "))
}
