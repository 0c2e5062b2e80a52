package longorder

import (
	"context"
	"slices"

	"solander/measure"
	"solander/packing/planner/parcel"
	"solander/packing/planner/partition"
	"solander/packing/prices"
	"solander/tariff"
)

// The lower bound of a long order. Give each copy of group g a price π(g) of any size. If z is no more than
// cost(p) − Σ π for every parcel p, then a plan of P parcels costs at least Σ π · copies + P · z: add up over its
// parcels. So any prices give a bound for every P at once, and the least over all P is one for the order.
// Parcels with and without sheets that a house rule names by grade have a z each, so that the bound is
// taken for every pair of numbers of the two kinds.
//
// z is found over the templates: what a parcel of one may gain by its sheets at most is a knapsack, bounded
// by each of its limits alone, or by it and the price of cover, with the last sheet cut up. All of it is whole
// numbers, rounded to the safe side; floats only lead the search for good prices.

// pairsTo is up to how many parcels the two kinds are counted apart.
const pairsTo = 24

// dual is the search for the bound of one order.
type dual struct {
	o       *parcel.Order
	list    []*template
	price   []int64               // of a copy of each group, in parts of a minor unit
	low     []int64               // for each number of parcels the best bound so far, in minor units
	pairs   [pairsTo + 1][]int64  // for numbers of parcels of kinds 1 and 0; nil where there are no such plans
	classes map[*classes]*ranking // what the prices make of them
	slots   [2][]*slot            // of all templates, once they are asked for
}

// ranking is what the sheets of a class gain, at the present prices, by each of the limits.
type ranking struct {
	c                        *classes
	gains                    []int64
	byMass, byThick, byCount knapsack
	thick, count             bool // whether some template is limited by it
	covers                   map[*tariff.Cover]*insured
}

// optimum is where the bound of the present prices lies, for a kind of parcels.
type optimum struct {
	z     int64 // in parts of a minor unit
	by    *knapsack
	limit int64
}

func newDual(k *parcel.Kit, o *parcel.Order) *dual {
	d := &dual{o: o, list: templates(k, o), price: make([]int64, len(o.Groups)), low: make([]int64, o.Total+1), classes: map[*classes]*ranking{}}
	graded := false
	for g, bits := range gradingOf(k, o).bits {
		graded = graded || bits != 0 && o.Counts[g] > 0
	}
	for p := range d.pairs {
		if !graded && p > 0 || graded && p == 0 {
			continue // there is no such sheet, or one that must go in some parcel
		}
		d.pairs[p] = make([]int64, pairsTo+1-p)
	}
	for _, t := range d.list {
		d.class(t)
	}
	return d
}

func (d *dual) class(t *template) {
	r := d.classes[t.class]
	if r == nil {
		r = d.newRanking(t.class)
		d.classes[t.class] = r
	}
	r.thick = r.thick || t.thick >= 0
	r.count = r.count || t.most < d.o.Total
	r.cover(d, t.covered)
}

func (d *dual) newRanking(c *classes) *ranking {
	r := &ranking{c: c, gains: make([]int64, len(d.o.Groups)), covers: map[*tariff.Cover]*insured{}}
	r.byMass = r.knapsack(func(g int) int64 { return int64(c.mass[g]) })
	r.byThick = r.knapsack(func(g int) int64 { return int64(c.thick[g]) })
	r.byCount = r.knapsack(func(int) int64 { return 1 })
	return r
}

func (r *ranking) knapsack(size func(g int) int64) knapsack {
	var f knapsack
	for g, ok := range r.c.allowed {
		f.sizes = append(f.sizes, max(size(g), 0))
		if ok {
			f.groups = append(f.groups, g)
		}
	}
	return f
}

// rank looks at the present prices.
func (d *dual) rank(r *ranking) {
	for g, ok := range r.c.allowed {
		if r.gains[g] = 0; ok {
			r.gains[g] = max(0, d.price[g]-r.c.each[g]*prices.Scale)
		}
	}
	r.byMass.fill(r.gains, d.o.Counts)
	if r.thick {
		r.byThick.fill(r.gains, d.o.Counts)
	}
	if r.count {
		r.byCount.fill(r.gains, d.o.Counts)
	}
	for _, c := range r.covers {
		c.value.fill(r.gains, d.o.Counts)
		c.reckon()
		if c.net != nil {
			c.net.rank(r, d.o.Counts)
		}
	}
}

// evaluate finds z of both kinds for the present prices and raises the bounds.
func (d *dual) evaluate() [2]optimum {
	for _, r := range d.classes {
		d.rank(r)
	}
	// As high as anything may count: more parcels of a kind that nothing belongs to cost more than any plan.
	best := [2]optimum{{z: 1 << 50}, {z: 1 << 50}}
	for _, t := range d.list {
		d.reduce(d.classes[t.class], t, &best[t.kind])
	}
	sum := int64(0)
	for g := range d.price {
		sum += d.price[g] * int64(d.o.Groups[g].Copies)
	}
	z := min(best[0].z, best[1].z)
	for p := 1; p < len(d.low); p++ {
		d.low[p] = max(d.low[p], prices.Upwards(sum+int64(p)*z, prices.Scale))
	}
	for p, row := range d.pairs {
		for q := range row {
			row[q] = max(row[q], prices.Upwards(sum+int64(p)*best[1].z+int64(q)*best[0].z, prices.Scale))
		}
	}
	return best
}

// reduce lowers best to the least cost of a template less the gain of its sheets.
func (d *dual) reduce(r *ranking, t *template, best *optimum) {
	most := optimum{r.byMass.most(-1), &r.byMass, -1}
	if r.count {
		most = optimum{r.byCount.most(int64(t.most)), &r.byCount, int64(t.most)}
	}
	if t.thick >= 0 {
		if g := r.byThick.most(int64(t.thick)); g < most.z {
			most = optimum{g, &r.byThick, int64(t.thick)}
		}
	}
	for _, s := range t.steps {
		base, free := (t.fix+s.Price)*prices.Scale, int64(s.Mass-t.mass)
		if free < 0 || base-most.z >= best.z {
			continue
		}
		at := most
		if g := r.byMass.most(free); g < at.z {
			at = optimum{g, &r.byMass, free}
		}
		z := base - at.z
		if c := r.covers[t.covered]; t.covered != nil {
			less, step, byValue := c.less(at.z)
			z = base + less
			if byValue {
				at = optimum{0, &c.value, c.steps[step].value}
			}
			if c.net != nil {
				if n := c.net.less(r, t, free, 0, len(c.steps)-1); base+n.z > z {
					z, at = base+n.z, n
				}
			}
		}
		if z < best.z {
			*best = optimum{z, at.by, at.limit}
		}
	}
}

// bound is the least of the bounds over all numbers of parcels, and the pair where it lies.
func (d *dual) bound() (low int64, graded, plain int) {
	low = 1 << 62
	for p, row := range d.pairs {
		for q := range row {
			if p+q == 0 || p+q >= len(d.low) {
				continue
			}
			if b := max(row[q], d.low[p+q]); b < low {
				low, graded, plain = b, p, q
			}
		}
	}
	for p := pairsTo + 1; p < len(d.low); p++ {
		if d.low[p] < low {
			low, graded, plain = d.low[p], p, -1
		}
	}
	return low, graded, plain
}

// raise looks for better prices, for the numbers of parcels that have the lowest bound, until the bound is
// good enough, no step helps, or the context is cancelled. Top is what the best plan known costs. It also returns
// the best prices, nil when nothing is known.
func (d *dual) raise(ctx context.Context, top, enough int64, known *partition.Split) (int64, []float64) {
	if len(d.list) == 0 || top >= prices.Dearest {
		return 0, nil
	}
	d.evaluate()
	start := d.share(top)
	d.set(start, top)
	d.evaluate() // so much even when there is no time left
	start = d.linear(ctx, top, known)
	failed := 0
	for range dualRounds {
		low, p, q := d.bound()
		if low >= enough || ctx.Err() != nil {
			break
		}
		d.subgradient(ctx, p, q, top, start)
		if after, p2, q2 := d.bound(); p2 != p || q2 != q || after > low {
			failed = 0
		} else if failed++; failed > 1 {
			break
		}
	}
	low, _, _ := d.bound()
	return min(low, top), start
}

// dualRounds and dualSteps bound the work on the bound, so that it does not depend on the clock.
const (
	dualRounds = 8
	dualSteps  = 50
)

// share spreads the cost of a plan over the copies by mass.
func (d *dual) share(top int64) []float64 {
	out := make([]float64, len(d.price))
	all := measure.Mass(0)
	for i := range d.o.Groups {
		all += measure.Mass(d.o.Groups[i].Copies) * d.o.Groups[i].Leaf.Mass
	}
	for i := range out {
		out[i] = 0.7 * float64(top) * float64(d.o.Groups[i].Leaf.Mass) / float64(max(all, 1))
	}
	return out
}

// subgradient raises the bound for one pair of numbers of parcels by steps along what is sent too seldom or too
// often; plain -1 stands for any numbers of both. The best prices stay in start.
func (d *dual) subgradient(ctx context.Context, graded, plain int, top int64, start []float64) {
	at, best := slices.Clone(start), slices.Clone(start)
	mark, stay, size := int64(-1)<<60, 0, 1.0
	for range dualSteps {
		if ctx.Err() != nil {
			break
		}
		d.set(at, top)
		value, slope := d.look(graded, plain)
		if value > mark {
			mark, stay = value, 0
			copy(best, at)
		} else if stay++; stay > 8 {
			size, stay = size/2, 0
			copy(at, best)
		}
		norm := 0.0
		for _, s := range slope {
			norm += float64(s * s)
		}
		if low, _, _ := d.bound(); low >= top || value >= top*prices.Scale || size < 1.0/512 || norm == 0 {
			break
		}
		step := size * max(float64(float64(top)*1.02)-float64(float64(value)/prices.Scale), float64(top)/1000) / norm
		for g := range at {
			at[g] = max(0, at[g]+float64(step*slope[g]))
		}
	}
	copy(start, best)
}

// look evaluates the present prices for a pair of numbers: the bound in parts, and of each group the copies
// that are sent too seldom.
func (d *dual) look(graded, plain int) (int64, []float64) {
	at := d.evaluate()
	if plain < 0 { // all of the kind that is cheaper
		plain = 0
		if at[0].z < at[1].z {
			graded, plain = 0, graded
		}
	}
	value := int64(graded)*at[1].z + int64(plain)*at[0].z
	out := make([]float64, len(d.price))
	for g := range d.price {
		value += d.price[g] * int64(d.o.Groups[g].Copies)
		out[g] = float64(d.o.Groups[g].Copies)
	}
	for kind, times := range [2]int{plain, graded} {
		if at[kind].by != nil && times > 0 {
			at[kind].by.taken(d.o.Counts, at[kind].limit, -float64(times), out)
		}
	}
	return value, out
}

// set takes prices over, in whole parts; together they are never worth more than eight times the best plan,
// so that no sum outgrows 64 bits.
func (d *dual) set(to []float64, top int64) {
	sum := 0.0
	for g := range to {
		sum += float64(to[g] * float64(d.o.Groups[g].Copies))
	}
	fit := min(1, 8*float64(top)/max(sum, 1))
	for g := range to {
		d.price[g] = int64(to[g] * fit * prices.Scale)
	}
}
