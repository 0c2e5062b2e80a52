package studio

import (
	"fmt"
	"strings"

	"solander/bench"
	"solander/disclosure"
	"solander/order"
)

// rulesOf is the country whose states have rules about what a buyer is told.
const rulesOf = "US"

// Untold is what the buyers of orders are still to be told in writing, an answer for each order in their order: the facts of editions of which
// nothing was said, at a price at which the rules of the buyer's state hold. It is told of an order that is open, and of one that went all the same.
// The facts of an edition are read once.
func (t *Turn) Untold(orders ...order.Order) ([][]bench.Tell, error) {
	out := make([][]bench.Tell, len(orders))
	told := map[int64]disclosure.Facts{}
	found := map[toTell]bench.Tell{}
	for i, o := range orders {
		if o.State != order.Open && o.State != order.Closed || o.ShipTo.Country != rulesOf {
			continue
		}
		set, known := disclosure.Find(o.ShipTo.Region)
		if !known {
			continue
		}
		said := map[int64]bool{} // of this order
		for _, l := range o.Live() {
			if said[l.Edition] || !set.At(l.Price, false).Covered {
				continue
			}
			said[l.Edition] = true
			at := toTell{l.Edition, set.State}
			tell, known := found[at]
			if !known {
				f, err := t.toldOf(told, l.Edition)
				if err != nil {
					return nil, err
				}
				tell = lacking(set, l.Edition, f)
				found[at] = tell
			}
			if tell.Facts > 0 {
				out[i] = append(out[i], tell)
			}
		}
	}
	return out, nil
}

// toTell is an edition in a state.
type toTell struct {
	edition int64
	state   string
}

// toldOf reads what is told of an edition, once.
func (t *Turn) toldOf(known map[int64]disclosure.Facts, ed int64) (disclosure.Facts, error) {
	if f, ok := known[ed]; ok {
		return f, nil
	}
	e, err := t.EditionOf(ed)
	if err != nil {
		return nil, err
	}
	said, err := t.Tx.Sayings(ed)
	if err != nil {
		return nil, err
	}
	known[ed] = disclosure.Of(e, t.Set.Artist, said)
	return known[ed], nil
}

// lackNamed is how many of the facts that lack are named.
const lackNamed = 2

// lacking tells what lacks of an edition by the rules of a state.
func lacking(set disclosure.Set, ed int64, f disclosure.Facts) bench.Tell {
	var lack []string
	for _, l := range set.Check(f) {
		if l.Lacks {
			lack = append(lack, strings.ToLower(l.Fact.Label()))
		}
	}
	text := strings.Join(lack[:min(lackNamed, len(lack))], ", ")
	if more := len(lack) - lackNamed; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return bench.Tell{Edition: ed, Facts: len(lack), State: set.Name, Text: fmt.Sprintf("facts to tell: %s (%s)", text, set.Name)}
}
