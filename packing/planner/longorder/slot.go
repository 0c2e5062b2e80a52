package longorder

import (
	"cmp"
	"math/bits"
	"slices"

	"solander/measure"
	"solander/packing/planner/least"
	"solander/packing/planner/parcel"
	"solander/tariff"
)

// slot is a template at one step of its table: a parcel of it costs base at least, in parts of a minor unit, and its
// sheets weigh free at most.
type slot struct {
	*least.Template
	base int64
	free int64
}

// betters reports that whatever s holds, b holds for no more; of equals neither does.
func (b *slot) betters(s *slot) bool {
	if b.base > s.base || b.free < s.free || b.Most < s.Most || b.Thick >= 0 && (s.Thick < 0 || b.Thick < s.Thick) {
		return false
	}
	return b.base < s.base || b.free > s.free || b.Most > s.Most || b.Thick != s.Thick
}

// field is the slots of one class of templates with one table of cover: they are looked at together, since the same
// sheets gain as much in each.
type field struct {
	*least.Class
	cover    *cover // nil = none is asked for
	slots    []*slot
	cheapest int64 // no slot costs less, the sheets' own part of cover left out
	copies   int   // in any of the slots at most
	reach    int64 // what so many copies weigh at most
	// At the present prices:
	extra  int64   // what rows make every parcel worth, whatever its sheets are
	gains  []int64 // of a copy of each group, its part of what rows are worth added
	hope   int64   // what rows may add to that
	first  []int64 // of so many copies, those that gain most
	order  []int   // groups that may be there, in the order in which they are looked at
	labels         // what those from a place on may gain yet
}

// fieldsOf lists the fields of an order's templates, without the slots that another one betters.
func fieldsOf(o *parcel.Order, list []*least.Template) []*field {
	var values []int64
	for g := range o.Groups {
		values = append(values, o.Groups[g].First.Value)
	}
	covers := map[*tariff.Cover]*cover{}
	type key struct {
		class *least.Class
		cover *tariff.Cover
	}
	at := map[key]*field{}
	var out []*field
	for _, t := range list {
		k := key{t.Class, t.Covered}
		if at[k] == nil {
			if t.Covered != nil && covers[t.Covered] == nil {
				covers[t.Covered] = newCover(t.Covered, values, o.Value)
			}
			at[k] = &field{Class: t.Class, cover: covers[t.Covered], gains: make([]int64, len(values))}
			out = append(out, at[k])
		}
		for _, s := range t.Steps {
			if free := int64(s.Mass - t.Mass); free >= 0 {
				at[k].slots = append(at[k].slots, &slot{t, (t.Fix + s.Price) * scale, free})
			}
		}
	}
	for _, f := range out {
		f.settle(o)
	}
	return slices.DeleteFunc(out, func(f *field) bool { return len(f.slots) == 0 })
}

// settle puts a field in order once its slots are known.
func (f *field) settle(o *parcel.Order) {
	all := slices.Clone(f.slots)
	f.slots = slices.DeleteFunc(f.slots, func(s *slot) bool {
		return slices.ContainsFunc(all, func(b *slot) bool { return b.betters(s) })
	})
	most := int64(0)
	for i, s := range f.slots {
		f.copies, most = max(f.copies, min(s.Most, o.Total)), max(most, s.free)
		if low := f.lead(s); i == 0 || low < f.cheapest {
			f.cheapest = low
		}
	}
	var masses []measure.Mass
	for g, ok := range f.Allowed {
		for range o.Counts[g] {
			if ok {
				masses = append(masses, f.Mass[g])
			}
		}
	}
	slices.SortFunc(masses, func(a, b measure.Mass) int { return cmp.Compare(b, a) })
	for _, m := range masses[:min(f.copies, len(masses))] {
		f.reach += int64(m)
	}
	f.reach = min(f.reach, most)
}

// lead is what a parcel of a slot costs before its sheets, which pay for their cover one by one.
func (f *field) lead(s *slot) int64 {
	if f.cover == nil {
		return s.base - f.extra
	}
	return s.base - f.extra + f.cover.lead
}

// ready reckons what the sheets gain at the present prices, of those that are still to be sent; it returns what no
// parcel costs less than beyond that, as far as number and mass tell one by one.
func (f *field) ready(x *master) int64 {
	counts := x.counts
	f.extra = 0
	for i, worth := range x.worth {
		if k := x.rows[i].kind; k != nil && k.tells(f) {
			f.extra += worth
		}
	}
	f.order, f.few, f.hope = f.order[:0], 0, 0
	for i := range x.rows {
		if x.rows[i].kind == nil && x.worth[i] > 0 && x.each[i] == 0 && slices.ContainsFunc(x.rows[i].of, func(g int) bool { return f.Allowed[g] && counts[g] > 0 }) {
			f.hope += x.worth[i]
		}
	}
	for g, ok := range f.Allowed {
		if !ok || counts[g] == 0 {
			continue
		}
		f.gains[g] = x.price[g] - f.Each[g]*scale
		for _, i := range x.rowsOf[g] {
			f.gains[g] += x.each[i]
		}
		if f.cover != nil {
			f.gains[g] -= f.cover.each[g]
		}
		f.order = append(f.order, g)
	}
	slices.SortFunc(f.order, func(a, b int) int { return cmp.Or(cmp.Compare(f.gains[b], f.gains[a]), cmp.Compare(a, b)) })
	f.first = append(f.first[:0], 0)
	for _, g := range f.order {
		for range min(counts[g], f.copies+1-len(f.first)) {
			f.first = append(f.first, f.first[len(f.first)-1]+max(f.gains[g], 0))
		}
	}
	f.cutUp(counts)
	least := int64(0)
	for _, s := range f.slots {
		least = min(least, f.roughly(s))
	}
	return least
}

// roughly is what no parcel of a slot costs less than beyond what its sheets are worth.
func (f *field) roughly(s *slot) int64 {
	return f.lead(s) - f.hope - min(f.first[min(s.Most, len(f.first)-1)], f.yet(0, 0, s.free))
}

// labels tells what the sheets from a place in the order on gain at most within a mass and, where parcels hold few, a
// number of copies: by a table over both, masses rounded down, or with the last sheet cut up.
type labels struct {
	few             int // copies up to which the table goes; 0: sheets are cut up
	unit            int64
	table           []int64
	gained, weighed []int64 // of those that gain anything
}

const (
	mostFew   = 16  // copies that are counted in a table
	massCells = 200 // of a table
)

// label makes the labels of the present gains, for slots that may hold a parcel below a limit.
func (f *field) label(counts []int, limit int64) {
	if f.copies > mostFew {
		return
	}
	reach := int64(0)
	for _, s := range f.slots {
		if f.roughly(s) < limit {
			reach = max(reach, s.free)
		}
	}
	f.few, f.unit = f.copies, min(f.reach, reach)/massCells+1
	size, n := f.rows(), len(f.gained)-1
	if need := (n + 1) * size; cap(f.table) < need {
		f.table = make([]int64, need)
	} else {
		f.table = f.table[:need]
	}
	clear(f.table[n*size:])
	for j := n - 1; j >= 0; j-- {
		g := f.order[j]
		t := f.table[j*size : (j+1)*size]
		copy(t, f.table[(j+1)*size:(j+2)*size])
		for range min(counts[g], f.few) {
			f.lay(t, int(int64(f.Mass[g])/f.unit), f.gains[g])
		}
	}
}

func (f *field) rows() int { return (f.few + 1) * (massCells + 1) }

// lay adds one copy to a table.
func (f *field) lay(t []int64, mass int, gain int64) {
	const width = massCells + 1
	for k := f.few; k > 0; k-- {
		into, from := t[k*width:(k+1)*width], t[(k-1)*width:k*width]
		for m := massCells; m >= mass; m-- {
			into[m] = max(into[m], from[m-mass]+gain)
		}
	}
}

// cutUp puts the groups in the order of what they gain for their mass, and adds up.
func (f *field) cutUp(counts []int) {
	slices.SortStableFunc(f.order, func(a, b int) int {
		if x, y := f.gains[a], f.gains[b]; x <= 0 || y <= 0 {
			return cmp.Compare(y, x)
		}
		return compareProducts(f.gains[b], int64(f.Mass[a]), f.gains[a], int64(f.Mass[b]))
	})
	f.gained, f.weighed = append(f.gained[:0], 0), append(f.weighed[:0], 0)
	for i, g := range f.order {
		n := int64(counts[g])
		if f.gains[g] <= 0 {
			break
		}
		f.gained = append(f.gained, f.gained[i]+n*f.gains[g])
		f.weighed = append(f.weighed, f.weighed[i]+n*int64(f.Mass[g]))
	}
}

// compareProducts compares a · b with c · d; all at least 0.
func compareProducts(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	h2, l2 := bits.Mul64(uint64(c), uint64(d))
	return cmp.Or(cmp.Compare(h1, h2), cmp.Compare(l1, l2))
}

// yet is what the sheets from a place on gain at most within a number of copies and a mass.
func (f *field) yet(j, copies int, mass int64) int64 {
	j = min(j, len(f.gained)-1)
	if f.few > 0 {
		return f.table[j*f.rows()+min(copies, f.few)*(massCells+1)+int(min(mass/f.unit, massCells))]
	}
	limit := f.weighed[j] + mass
	at, _ := slices.BinarySearch(f.weighed[j:], limit+1) // the first group that does not go in whole
	if at += j; at == len(f.weighed) {
		return f.gained[at-1] - f.gained[j]
	}
	hi, lo := bits.Mul64(uint64(f.gained[at]-f.gained[at-1]), uint64(limit-f.weighed[at-1]))
	q, r := bits.Div64(hi, lo, uint64(f.weighed[at]-f.weighed[at-1])) // less than that is left, so the quotient fits
	if r > 0 {
		q++
	}
	return f.gained[at-1] - f.gained[j] + int64(q)
}
