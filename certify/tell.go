package certify

import (
	"fmt"
	"strings"

	"solander/bench"
	"solander/disclosure"
	"solander/order"
)

// FactsToTell puts on each open order that goes to a state with rules which facts its buyer is still to be told: those of editions of which
// nothing was said, at a price at which the rules hold. The facts of an edition are read once.
func (t *Certify) FactsToTell(orders []bench.Order) error {
	told := map[int64]disclosure.Facts{}
	found := map[toTell]bench.Tell{}
	for i := range orders {
		o := &orders[i]
		if o.ShipTo.Country != rulesOf {
			continue
		}
		set, known := disclosure.Find(o.ShipTo.Region)
		if !known {
			continue
		}
		said := map[int64]bool{} // of this order
		for _, l := range bench.Pending(o.Order) {
			if said[l.Edition] || !set.At(l.Price, false).Covered {
				continue
			}
			said[l.Edition] = true
			at := toTell{l.Edition, set.State}
			tell, known := found[at]
			if !known {
				f, err := t.toldOf(told, l.Edition)
				if err != nil {
					return err
				}
				tell = lacking(set, l.Edition, f)
				found[at] = tell
			}
			if tell.Facts > 0 {
				o.Tell = append(o.Tell, tell)
			}
		}
	}
	return nil
}

// Untold is what the buyer of an order is still to be told, in words; "" = nothing.
func (t *Certify) Untold(o order.Order) (string, error) {
	one := []bench.Order{{Order: o}}
	if err := t.FactsToTell(one); err != nil {
		return "", err
	}
	var all []string
	for _, tell := range one[0].Tell {
		all = append(all, tell.Text)
	}
	return strings.Join(all, "; "), nil
}

// rulesOf is the country whose states have rules.
const rulesOf = "US"

// toTell is an edition in a state.
type toTell struct {
	edition int64
	state   string
}

// toldOf reads what is told of an edition, once.
func (t *Certify) toldOf(known map[int64]disclosure.Facts, ed int64) (disclosure.Facts, error) {
	if f, ok := known[ed]; ok {
		return f, nil
	}
	e, err := t.EditionOf(ed)
	if err != nil {
		return nil, err
	}
	said, err := t.Sayings(ed)
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
