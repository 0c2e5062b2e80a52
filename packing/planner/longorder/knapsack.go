package longorder

import (
	"cmp"
	"math/bits"
	"slices"

	"solander/packing/prices"
	"solander/tariff"
)

// knapsack is a knapsack that is filled in order of gain for size, the last piece cut up: no choice of whole
// pieces gains more within a limit. Everything is whole numbers, and rounded up.
type knapsack struct {
	groups     []int // kept from one time to the next: nearly in order then
	gain, size []int64
	n          int // groups that gain anything
	sizes      []int64
}

// fill puts the groups in order and adds up. gains and copies are by group; what gains nothing stays out.
func (f *knapsack) fill(gains []int64, copies []int) {
	after := func(a, b int) bool { // b belongs before a
		x, y := gains[a], gains[b]
		if x <= 0 || y <= 0 {
			return y > x && y > 0
		}
		c := compareProducts(y, f.sizes[a], x, f.sizes[b])
		return c > 0 || c == 0 && b < a
	}
	for i := 1; i < len(f.groups); i++ {
		g := f.groups[i]
		j := i
		for j > 0 && after(f.groups[j-1], g) {
			f.groups[j] = f.groups[j-1]
			j--
		}
		f.groups[j] = g
	}
	f.gain, f.size, f.n = f.gain[:0], f.size[:0], 0
	var sum, used int64
	for _, g := range f.groups {
		if gains[g] <= 0 {
			break
		}
		f.n++
		sum, used = sum+int64(copies[g])*gains[g], used+int64(copies[g])*f.sizes[g]
		f.gain, f.size = append(f.gain, sum), append(f.size, used)
	}
}

// compareProducts compares a · b with c · d; all at least 0.
func compareProducts(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	h2, l2 := bits.Mul64(uint64(c), uint64(d))
	return cmp.Or(cmp.Compare(h1, h2), cmp.Compare(l1, l2))
}

// most is the greatest gain within a limit, rounded up; -1 = no limit.
func (f *knapsack) most(limit int64) int64 {
	if f.n == 0 {
		return 0
	}
	if limit < 0 || limit >= f.size[f.n-1] {
		return f.gain[f.n-1]
	}
	at, _ := slices.BinarySearch(f.size, limit+1) // the first group that does not go in whole
	was, used := int64(0), int64(0)
	if at > 0 {
		was, used = f.gain[at-1], f.size[at-1]
	}
	hi, lo := bits.Mul64(uint64(f.gain[at]-was), uint64(limit-used))
	q, r := bits.Div64(hi, lo, uint64(f.size[at]-used)) // limit − used is less than that, so the quotient fits
	if r > 0 {
		q++
	}
	return was + int64(q)
}

// taken adds to out how much of each group is in at a limit.
func (f *knapsack) taken(copies []int, limit int64, times float64, out []float64) {
	used := int64(0)
	for i, g := range f.groups[:f.n] {
		n := float64(times * float64(copies[g]))
		if limit >= 0 && f.size[i] > limit {
			out[g] += n * float64(limit-used) / float64(f.size[i]-used)
			return
		}
		out[g], used = out[g]+n, f.size[i]
	}
}

// coverStep is cover of one price: it serves up to a value.
type coverStep struct{ value, price int64 }

// coverSteps lists the prices of cover up to a value; a parcel of no more than value pays at least the price of
// the first step that serves it. Past many steps one price serves for all that is dearer.
func coverSteps(c *tariff.Cover, all int64) []coverStep {
	out := []coverStep{{min(c.Included, all), 0}}
	last := int64(0)
	for _, s := range c.Steps {
		last = s.UpTo
		if s.UpTo > c.Included && out[len(out)-1].value < all {
			out = append(out, coverStep{min(s.UpTo, all), s.Price})
		}
	}
	for n := int64(1); c.Per > 0 && out[len(out)-1].value < all; n++ {
		to := last + n*c.Per
		if n > mostCoverSteps {
			to = all
		}
		price, _, ok := c.Price(max(last+(n-1)*c.Per, c.Included) + 1)
		if !ok {
			break
		}
		if to > c.Included {
			out = append(out, coverStep{min(to, all), price})
		}
	}
	for i := len(out) - 2; i >= 0; i-- { // prices that fall would spoil the order
		out[i].price = min(out[i].price, out[i+1].price)
	}
	return out
}

const mostCoverSteps = 2000

// insured is what cover takes from the gains of a class of templates: for each step the gain of the sheets that it
// serves, and the least price less gain of all steps up to it.
type insured struct {
	steps []coverStep
	gain  []int64
	least []int64
	value knapsack
	net   *net
}

func (c *insured) reckon() {
	c.gain, c.least = c.gain[:0], c.least[:0]
	for i, s := range c.steps {
		g := c.value.most(s.value)
		l := s.price*prices.Scale - g
		if i > 0 {
			l = min(l, c.least[i-1])
		}
		c.gain, c.least = append(c.gain, g), append(c.least, l)
	}
}

// less is the least of price less gain when other limits allow no more than a gain; byValue says whether the
// value is what limits then, and up to which step.
func (c *insured) less(gain int64) (z int64, step int, byValue bool) {
	return c.lessOf(gain, 0, len(c.steps)-1)
}

// lessOf is less for cover by one of the steps from and to, or between.
func (c *insured) lessOf(gain int64, from, to int) (z int64, step int, byValue bool) {
	at, _ := slices.BinarySearch(c.gain, gain) // the first step that serves all of it
	z, step = 1<<60, to
	if whole := max(at, from); whole <= to {
		z, step = c.steps[whole].price*prices.Scale-gain, whole
	}
	if last := min(at-1, to); from == 0 && last >= 0 && c.least[last] < z {
		z, byValue = c.least[last], true
		for step = 0; c.least[step] != z; step++ {
		}
	} else if from > 0 {
		for i := from; i <= last; i++ {
			if l := c.steps[i].price*prices.Scale - c.gain[i]; l < z {
				z, step, byValue = l, i, true
			}
		}
	}
	return z, step, byValue
}
