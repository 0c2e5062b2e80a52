package renew

import (
	"fmt"
	"slices"

	"solander/tariff"
)

// Bounds of a new price against the old: outside of them the typed price is asked back. Common practice, no source.
const (
	lowJump  Factor = Same * 8 / 10
	highJump Factor = Same * 14 / 10
)

// Doubt is something about a typed price that looks like a slip of the pen. It forbids nothing.
type Doubt struct {
	Where string `json:"where"` // the service, or the cell of it
	Text  string `json:"text"`
	Cell  *Cell  `json:"cell,omitempty"` // nil when it concerns no single typed price
}

// Doubts looks at the typed prices of a draft, in the card's order: jumps outside 0.8 to 1.4 of the old price, and prices
// that fall with weight or zone where the old ones did not.
func Doubts(old, next *tariff.Card, typed map[Cell]tariff.Cell) []Doubt {
	var cells []Cell
	for c := range typed {
		cells = append(cells, c)
	}
	slices.SortFunc(cells, func(a, b Cell) int { return order(old, a, b) })
	var out []Doubt
	for _, c := range cells {
		was, now := c.Price(old), typed[c]
		if f := ratio(int64(now), int64(was)); was > 0 && (f < lowJump || f > highJump) {
			out = append(out, Doubt{old.Service(c.Service).Name + ", " + c.Text(old), fmt.Sprintf("× %s of the old price: is it so?", f), &c})
		}
	}
	known := map[tariff.Suspicion]bool{}
	for _, s := range old.Suspicions() {
		known[s] = true
	}
	for _, s := range next.Suspicions() {
		if !known[s] {
			out = append(out, Doubt{Where: old.Service(s.Service).Name, Text: s.Text})
		}
	}
	return out
}
