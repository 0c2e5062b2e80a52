package longorder

import (
	"math/bits"
	"slices"

	"solander/packing/prices"
)

// net is what the sheets of a class of templates gain when each pays for its own cover at one rate. A parcel pays
// the price of a step of cover; that is at least the step's lead plus the rate for all its value, whatever the
// rate. So the other limits may be looked at with what is left of the gains, and together with the value.
type net struct {
	num, den                 uint64 // the rate: parts of a minor unit for so much value
	value                    []int64
	lead                     []int64 // for each step: its price less the rate for all the value that it serves
	least                    int64   // of all steps
	gains                    []int64
	byMass, byThick, byCount knapsack
}

// newNet takes the rate at which the table's price grows from its first step to its last; nil when it does not.
func newNet(d *dual, r *ranking, steps []coverStep) *net {
	first, last := steps[0], steps[len(steps)-1]
	if last.price <= first.price || last.value <= first.value || last.price > prices.Dearest || last.value > 1<<40 {
		return nil
	}
	n := &net{num: uint64(last.price-first.price) * prices.Scale, den: uint64(last.value - first.value), gains: make([]int64, len(r.gains))}
	if hi, _ := bits.Mul64(n.num, uint64(last.value)); hi >= n.den || n.of(last.value) > 1<<50 {
		return nil
	}
	for g := range d.o.Groups {
		n.value = append(n.value, n.of(d.o.Groups[g].First.Value))
	}
	for _, s := range steps {
		n.lead = append(n.lead, s.price*prices.Scale-n.of(s.value))
	}
	n.least = slices.Min(n.lead)
	n.byMass, n.byThick, n.byCount = r.byMass.copied(), r.byThick.copied(), r.byCount.copied()
	return n
}

// copied is a filling of the same sheets that is kept in an order of its own.
func (f *knapsack) copied() knapsack {
	return knapsack{groups: slices.Clone(f.groups), sizes: f.sizes}
}

// of is the rate for a value, rounded down.
func (n *net) of(value int64) int64 {
	hi, lo := bits.Mul64(n.num, uint64(value))
	q, _ := bits.Div64(hi, lo, n.den)
	return int64(q)
}

// rank looks at the present gains.
func (n *net) rank(r *ranking, counts []int) {
	for g := range n.gains {
		n.gains[g] = max(0, r.gains[g]-n.value[g])
	}
	n.byMass.fill(n.gains, counts)
	if r.thick {
		n.byThick.fill(n.gains, counts)
	}
	if r.count {
		n.byCount.fill(n.gains, counts)
	}
}

// less is the least of the price of cover less what the sheets gain, for limits of each kind and steps of cover
// between two.
func (n *net) less(r *ranking, t *template, free int64, from, to int) optimum {
	at := optimum{n.byMass.most(free), &n.byMass, free}
	if r.count {
		if g := n.byCount.most(int64(t.most)); g < at.z {
			at = optimum{g, &n.byCount, int64(t.most)}
		}
	}
	if t.thick >= 0 {
		if g := n.byThick.most(int64(t.thick)); g < at.z {
			at = optimum{g, &n.byThick, int64(t.thick)}
		}
	}
	lead := n.least
	if from > 0 || to < len(n.lead)-1 {
		lead = slices.Min(n.lead[from : to+1])
	}
	return optimum{lead - at.z, at.by, at.limit}
}
