// Package least says what no parcel of a kind costs less than, whichever sheets are in it: templates, that bound every parcel of
// an order from below.
//
// Lengths are nanometres, masses nanograms, money minor units of the problem's currency. It looks for no parcel and no plan: a
// bound may be below all that is possible, and is never above.
package least

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/sheet"
	"solander/tariff"
)

// Template stands for all parcels of one kind and bounds what they cost: by one wrap, closed by one item,
// sent by one service, of sheets whose largest sides and grades lie in one profile, of so many copies at
// most. Every parcel of an order belongs to a template, and costs at least
//
//	Fix + Σ copies · Each + the price of the step that its mass reaches + the cover that its value needs.
//
// Mass, thickness and value add up over the sheets. All that a parcel would have to pay beyond that, and
// all that could forbid it, is left out: the bound stays a bound.
type Template struct {
	Class   *Class
	Fix     int64
	Mass    measure.Mass   // of the packaging round the stack
	Thick   measure.Length // room for the leaves; -1 = not limited
	Most    int            // copies
	Steps   []tariff.Step
	Covered *tariff.Cover // cover is asked for by this table; nil = none
	Days    int           // in the post
}

// Class is what a wrap and a profile make of the sheets: which may be in such a parcel, and what each copy
// adds at least.
type Class struct {
	Wrap    *means.Wrap
	Profile *Profile
	Allowed []bool
	Each    []int64
	Mass    []measure.Mass
	Thick   []measure.Length
}

// Profile is the largest sides and the grade conditions of a parcel's sheets.
type Profile struct {
	LongFrom, Long   measure.Length // the largest long side lies in between
	ShortFrom, Short measure.Length
	Mask             uint // the grade conditions that some of the sheets meet
}

// bands is how many ranges the sides of an order's sheets are put in at most.
const bands = 8

// ranges puts lengths into at most so many bands, as pairs of least and largest.
func ranges(all []measure.Length) [][2]measure.Length {
	slices.Sort(all)
	all = slices.Compact(all)
	var out [][2]measure.Length
	n := min(bands, len(all))
	for i := range n {
		out = append(out, [2]measure.Length{all[i*len(all)/n], all[(i+1)*len(all)/n-1]})
	}
	return out
}

// grading is the house rules that ask for grades, at most six (with more the bound is only weaker), and of each group
// which of them its grade meets.
type grading struct {
	rules []*packing.Rule
	bits  []uint
}

func gradingOf(k *parcel.Kit, o *parcel.Order) grading {
	out := grading{bits: make([]uint, len(o.Groups))}
	for i := range k.P.Rules {
		if r := &k.P.Rules[i]; len(r.When.Grades) > 0 && len(out.rules) < 6 {
			out.rules = append(out.rules, r)
		}
	}
	for g := range o.Groups {
		for i, r := range out.rules {
			if slices.Contains(r.When.Grades, o.Groups[g].First.Grade) {
				out.bits[g] |= 1 << i
			}
		}
	}
	return out
}

// Bits tells of each group of an order which of the house rules' conditions of grade it meets.
func Bits(k *parcel.Kit, o *parcel.Order) []uint { return gradingOf(k, o).bits }

// profiles lists every profile that a parcel of the order can have.
func profiles(o *parcel.Order, bits []uint) []Profile {
	var longs, shorts []measure.Length
	masks := []uint{0}
	for g := range o.Groups {
		longs, shorts = append(longs, o.Groups[g].Leaf.Long()), append(shorts, o.Groups[g].Leaf.Short())
		for _, m := range masks {
			if !slices.Contains(masks, m|bits[g]) {
				masks = append(masks, m|bits[g])
			}
		}
	}
	var out []Profile
	for _, l := range ranges(longs) {
		for _, s := range ranges(shorts) {
			for _, m := range masks {
				p := Profile{l[0], l[1], s[0], s[1], m}
				if has(o, &p, bits) {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// has reports whether sheets of the order can make up the profile.
func has(o *parcel.Order, p *Profile, bits []uint) bool {
	long, short, mask := false, false, uint(0)
	for g := range o.Groups {
		if !p.takes(&o.Groups[g], bits[g]) {
			continue
		}
		long = long || o.Groups[g].Leaf.Long() >= p.LongFrom
		short = short || o.Groups[g].Leaf.Short() >= p.ShortFrom
		mask |= bits[g]
	}
	return long && short && mask == p.Mask
}

func (p *Profile) takes(g *parcel.Group, bits uint) bool {
	return g.Leaf.Long() <= p.Long && g.Leaf.Short() <= p.Short && bits&^p.Mask == 0
}

// Templates lists the templates of an order.
func Templates(k *parcel.Kit, o *parcel.Order) []*Template {
	grading := gradingOf(k, o)
	var out []*Template
	for _, p := range profiles(o, grading.bits) {
		for _, w := range k.Wraps {
			for _, n := range counts(k, o.Total) {
				out = append(out, stencil{k: k, o: o, w: w, p: &p, grading: grading, from: n[0], to: n[1]}.templates()...)
			}
		}
	}
	return out
}

// counts parts the number of copies in a parcel where house rules change with it.
func counts(k *parcel.Kit, total int) [][2]int {
	from := []int{1}
	for i := range k.P.Rules {
		if w := &k.P.Rules[i].When; w.SheetsFrom != nil {
			from = append(from, *w.SheetsFrom)
		} else if w.SheetsTo != nil {
			from = append(from, *w.SheetsTo+1)
		}
	}
	slices.Sort(from)
	from = slices.DeleteFunc(slices.Compact(from), func(n int) bool { return n < 1 || n > total })
	var out [][2]int
	for i, n := range from {
		to := total
		if i+1 < len(from) {
			to = from[i+1] - 1
		}
		out = append(out, [2]int{n, to})
	}
	return out
}

// leastLayers is what the layers of a wrap but the last add at least, whatever items are chosen.
type leastLayers struct {
	class       *Class
	long, short measure.Length // footprint
	cost        int64
	mass        measure.Mass
	thick       measure.Length
	room        measure.Length // for the leaves; -1 = not limited
	stiff       bool           // for certain
	core        measure.Length
	thin        measure.Length // thickness of the thinnest leaf
	closed      bool           // in a carton or a tube
	inTier      int64          // leaves that may lie side by side
	across      measure.Length // of a tube that lies with what is flat: the contents are no thinner
}

// limit lowers the room for the leaves to cap less what is there. Round a carton or a tube the leaves no
// longer add to the thickness: nothing is certain then.
func (a *leastLayers) limit(cap measure.Length) {
	if a.closed {
		return
	}
	if free := cap - a.thick; a.room < 0 || free < a.room {
		a.room = max(free, 0)
	}
}

// tightestRoll is the largest thickness that goes into a tube.
func tightestRoll(strip, core, free measure.Length) measure.Length {
	low, high := measure.Length(0), free
	for low < high {
		mid := low + (high-low+1)/2
		if sheet.Fits(strip, mid, core, free) {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return low
}
