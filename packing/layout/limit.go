package layout

import (
	"cmp"
	"math/bits"
	"slices"
)

// limit is one linear rule that every layout keeps: the weights of its pieces are at most room. Area is
// one, and so is every pair of scales.
type limit struct {
	room   int64
	weight []int64
	table  [][]int64 // most value of the kinds from i on within a capacity; nil when that is too large
	order  []int     // kinds by value for the weight, when there is no table
}

const (
	mostRules  = 600
	mostSharp  = 8
	tableCells = 1 << 19
	ruleSteps  = 12 // steps of scales along one axis
)

// rule finds the limits, the sharpest of which are used for bounds.
func (c *chooser) rule(q *question) {
	var ws, hs []int64
	for _, k := range c.kinds {
		for _, way := range k.way[:k.ways] {
			ws, hs = append(ws, way[0]), append(hs, way[1])
		}
	}
	for _, sx := range scalesOf(q.w, ws, ruleSteps) {
		for _, sy := range scalesOf(q.h, hs, ruleSteps) {
			if len(c.rules) < mostRules {
				c.rules = append(c.rules, c.limitOf(q, sx, sy))
			}
		}
	}
	c.caps = make([]int64, len(c.rules))
	byRoot := make([]int64, len(c.rules))
	at := make([]int, len(c.rules))
	for i := range c.rules {
		c.rules[i].sort(c.kinds)
		byRoot[i], at[i] = c.rules[i].fraction(c.kinds, 0, c.rules[i].room), i
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(byRoot[a], byRoot[b]) })
	c.sharp = nil
	for _, i := range append([]int{0}, at[:min(len(at), mostSharp)]...) {
		if l := &c.rules[i]; !slices.Contains(c.sharp, l) {
			l.tabulate(c.kinds)
			c.sharp = append(c.sharp, l)
		}
	}
}

func (c *chooser) limitOf(q *question, sx, sy scale) limit {
	shift := shiftFor(sx.full(), sy.full())
	l := limit{room: shifted(sx.full(), sy.full(), shift)}
	if shift > 0 {
		l.room++
	}
	for i := range c.kinds {
		l.weight = append(l.weight, c.kinds[i].scaled(q, sx, sy, shift))
	}
	l.shrink()
	return l
}

// shrink divides by the common divisor of the weights.
func (l *limit) shrink() {
	d := int64(0)
	for _, w := range l.weight {
		for w != 0 {
			d, w = w, d%w
		}
	}
	if d > 1 {
		l.room /= d
		for i := range l.weight {
			l.weight[i] /= d
		}
	}
}

func (l *limit) sort(kinds []chosen) {
	l.order = make([]int, len(kinds))
	for i := range l.order {
		l.order[i] = i
	}
	slices.SortStableFunc(l.order, func(a, b int) int {
		return compareProducts(kinds[b].value, l.weight[a], kinds[a].value, l.weight[b])
	})
}

// tabulate solves the knapsack of this limit for the last kinds, for every capacity.
func (l *limit) tabulate(kinds []chosen) {
	if l.table != nil || l.room >= tableCells || l.room*int64(len(kinds)+1) > tableCells {
		return
	}
	l.table = make([][]int64, len(kinds)+1)
	l.table[len(kinds)] = make([]int64, l.room+1)
	for i := len(kinds) - 1; i >= 0; i-- {
		l.table[i] = slices.Clone(l.table[i+1])
		addKind(l.table[i], l.weight[i], kinds[i].value, kinds[i].most)
	}
}

// addKind lets a table use up to most pieces of one weight and value, by powers of two.
func addKind(row []int64, weight, value int64, most int) {
	for n := 1; most > 0; n *= 2 {
		n = min(n, most)
		most -= n
		w, v := int64(n)*weight, int64(n)*value
		for c := int64(len(row)) - 1; c >= w; c-- {
			row[c] = max(row[c], row[c-w]+v)
		}
	}
}

// most returns a bound on what the kinds from i on can add.
func (c *chooser) most(i int) int64 {
	if i == len(c.kinds) {
		return 0
	}
	least := int64(-1)
	for _, l := range c.sharp {
		capacity := l.room
		for j := range i {
			capacity -= int64(c.counts[j]) * l.weight[j]
		}
		var v int64
		if l.table != nil {
			v = l.table[i][capacity]
		} else {
			v = l.fraction(c.kinds, i, capacity)
		}
		if least < 0 || v < least {
			least = v
		}
	}
	return least
}

// fraction is the most value of the kinds from i on when the last piece may be broken, rounded down.
func (l *limit) fraction(kinds []chosen, i int, capacity int64) int64 {
	value := int64(0)
	for _, k := range l.order {
		if k < i {
			continue
		}
		n, w := int64(kinds[k].most), l.weight[k]
		if w == 0 || n <= capacity/w {
			value += n * kinds[k].value
			capacity -= n * w
			continue
		}
		n = capacity / w
		value += n * kinds[k].value
		hi, lo := bits.Mul64(uint64(capacity-n*w), uint64(kinds[k].value))
		part, _ := bits.Div64(hi, lo, uint64(w))
		return value + int64(part)
	}
	return value
}

// compareProducts compares a·b with c·d.
func compareProducts(a, b, c, d int64) int {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	hi2, lo2 := bits.Mul64(uint64(c), uint64(d))
	if hi != hi2 {
		return cmp.Compare(hi, hi2)
	}
	return cmp.Compare(lo, lo2)
}
