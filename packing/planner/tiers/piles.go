package tiers

import (
	"slices"

	"solander/measure"
)

// mostPiles bounds the ways to part leaves into tiers that are looked at: as many as an order that is solved
// exactly has sets of sheets.
const mostPiles = 1 << 16

// fewPiles is the bound for an order that is not solved exactly.
const fewPiles = 1 << 11

// Pile is leaves in tiers: the lowest tier, which holds a thickest leaf, and the pile of the rest.
type Pile struct {
	Tiers int
	Thick measure.Length
	First *tier
	Rest  *Pile
	also  *Pile // another way to part the same leaves
}

// nothing is the pile of no leaves.
var nothing Pile

// piles returns the ways to part leaves into tiers, of equal ones one: when every thickness is wanted, each
// pair of thickness and number of tiers that there is (each thickness, when the number does not matter); else
// those that no other is thinner than, with as few tiers. None when some leaf does not fit.
//
// A thickest leaf lies in some tier, whatever lies beside it makes that tier no thicker, and fewer leaves
// never need more. So when the least is wanted, only tiers are tried that nothing left could be added to.
func (q *quarters) piles(lots []lot) *Pile { return q.pilesOf(lots, leavesKey(lots)) }

func (q *quarters) pilesOf(lots []lot, key lotsKey) *Pile {
	first := slices.IndexFunc(lots, func(l lot) bool { return l.N > 0 })
	if first < 0 {
		return &nothing
	}
	if known, ok := q.known.get(key); ok {
		return known
	}
	d := q.divide(lots)
	defer func() { q.spare = append(q.spare, d) }()
	d.leftKey, d.putKey, d.short, d.greedy, d.done, d.found = key, lotsKey{}, key.long == "", false, false, d.found[:0]
	d.setBar()
	if states(lots, q.s.most) > q.s.most {
		d.greedy = true
		q.s.partly.Store(true)
	}
	d.move(first, 1)
	d.from(first, 1)
	found := d.list()
	q.known.put(key, found)
	return found
}

// division is the search for the lowest tier of a pile.
type division struct {
	q      *quarters
	left   []lot
	put    []lot
	found  []Pile
	greedy bool // the first tier found is the only one tried

	short           bool // the keys are
	leftKey, putKey lotsKey
	least           bar
	done            bool // one as good was found
}

// bar is what no pile of some leaves betters: none is thinner, nor as thin in fewer tiers.
type bar struct {
	thick measure.Length
	tiers int
}

// raise makes b the higher of two bars.
func (b *bar) raise(thick measure.Length, tiers int) {
	if thick > b.thick {
		*b = bar{thick, tiers}
	} else if thick == b.thick {
		b.tiers = max(b.tiers, tiers)
	}
}

// mostBars is how many sets of one leaf fewer are looked at for a bar: the smallest leaves are left out first.
const mostBars = 3

// setBar finds a bar quickly. The search ends with the first pile that is as good; what it finds is the same without.
func (d *division) setBar() {
	d.least = bar{}
	if d.q.s.All {
		return
	}
	if d.short {
		d.knownBar()
	}
	d.areaBar()
}

// knownBar raises the bar by the piles of all leaves but one, which are never thicker, and never as thick in more tiers. They
// are looked for among those that are known, so that nothing is reckoned for it.
func (d *division) knownBar() {
	asked := 0
	for i := len(d.left) - 1; i >= 0 && asked < mostBars; i-- {
		l := d.left[i]
		if l.N == 0 {
			continue
		}
		asked++
		if p, _ := d.q.known.get(d.leftKey.with(l.id, -1)); p != nil && p.also == nil {
			d.least.raise(p.Thick, p.Tiers)
		}
	}
}

// areaBar raises the bar by the tiers that the leaves of each thickness and more ask for by number and by area.
func (d *division) areaBar() {
	room := (coarse(d.q.Long+d.q.s.Between) + 1) * (coarse(d.q.Short+d.q.s.Between) + 1)
	n, area, b := 0, int64(0), bar{}
	for _, l := range d.left {
		if l.N == 0 {
			continue
		}
		n += l.N
		area += coarse(l.Long+d.q.s.Between) * coarse(l.Short+d.q.s.Between) * int64(l.N)
		for b.tiers*d.q.s.Beside < n || int64(b.tiers)*room < area {
			b.tiers++
			b.thick += l.Thick
		}
	}
	d.least.raise(b.thick, b.tiers)
}

// coarse rounds a length down so far that the areas of a thousand leaves can be added.
func coarse(l measure.Length) int64 { return int64(l >> 12) }

// divide returns a division of leaves, of those done with when there is one.
func (q *quarters) divide(lots []lot) *division {
	var d *division
	if n := len(q.spare); n > 0 {
		d, q.spare = q.spare[n-1], q.spare[:n-1]
	} else {
		d = &division{q: q}
	}
	d.left, d.put = append(d.left[:0], lots...), append(d.put[:0], lots...)
	for i := range d.put {
		d.put[i].N = 0
	}
	return d
}

// states is how many sets of these leaves there are, or more than most.
func states(lots []lot, most int) int {
	n := 1
	for _, l := range lots {
		if n *= l.N + 1; n > most {
			return n
		}
	}
	return n
}

func (d *division) move(i, n int) {
	d.put[i].N += n
	d.left[i].N -= n
	if d.short {
		d.putKey, d.leftKey = d.putKey.with(d.put[i].id, n), d.leftKey.with(d.put[i].id, -n)
	}
}

// fits returns the tier of what is put, or nil.
func (d *division) fits() *tier {
	if d.short {
		return d.q.fits(d.put, d.putKey)
	}
	return d.q.fits(d.put, longKey(d.put))
}

// rest returns the piles of what is left.
func (d *division) rest() *Pile {
	if d.short {
		return d.q.pilesOf(d.left, d.leftKey)
	}
	return d.q.pilesOf(d.left, longKey(d.left))
}

// from tries every tier that adds leaves from the i-th lot on to what is put, of which there are so many.
func (d *division) from(i, pieces int) {
	t := d.fits()
	if t == nil {
		return
	}
	for j := i; j < len(d.left) && pieces < d.q.s.Beside; j++ {
		if d.left[j].N == 0 {
			continue
		}
		d.move(j, 1)
		d.from(j, pieces+1)
		d.move(j, -1)
		if d.done || d.greedy && len(d.found) > 0 {
			return
		}
	}
	if d.q.s.All || !d.more(pieces) {
		for rest := d.rest(); rest != nil; rest = rest.also {
			d.keep(Pile{Tiers: rest.Tiers + 1, Thick: rest.Thick + t.Lots[0].Thick, First: t, Rest: rest})
		}
	}
}

// more reports whether something left fits beside what is put.
func (d *division) more(pieces int) bool {
	if pieces == d.q.s.Beside {
		return false
	}
	for j := range d.left {
		if d.left[j].N == 0 {
			continue
		}
		d.move(j, 1)
		fits := d.fits() != nil
		d.move(j, -1)
		if fits {
			return true
		}
	}
	return false
}

// keep adds a pile unless one that is there does as well.
func (d *division) keep(p Pile) {
	for i := range d.found {
		if d.serves(&d.found[i], &p) {
			return
		}
	}
	d.found = append(slices.DeleteFunc(d.found, func(o Pile) bool { return d.serves(&p, &o) }), p)
	d.done = !d.q.s.All && p.Thick <= d.least.thick && p.Tiers <= d.least.tiers
}

// serves reports that a makes b needless.
func (d *division) serves(a, b *Pile) bool {
	s := d.q.s
	if !s.All && !s.Gaps { // the thickness alone counts; of equal ones the fewest tiers
		return a.Thick < b.Thick || a.Thick == b.Thick && a.Tiers <= b.Tiers
	}
	return a.Thick <= b.Thick && (!s.All || a.Thick == b.Thick) && a.Tiers <= b.Tiers && (!s.All || !s.Gaps || a.Tiers == b.Tiers)
}

// list keeps what was found.
func (d *division) list() *Pile {
	if len(d.found) == 0 {
		return nil
	}
	kept := slices.Clone(d.found)
	for i := range kept[1:] {
		kept[i].also = &kept[i+1]
	}
	return &kept[0]
}

// Piled returns the ways to part leaves into tiers on a footing: for a soft bag, those that stay within the
// room which they leave themselves.
func (s *Spread) Piled(f *Footing, lots []lot, each func(*Pile)) {
	if !f.Soft {
		for p := s.quarters(f.Oblong).piles(lots); p != nil; p = p.also {
			each(p)
		}
		return
	}
	n := 0
	for _, l := range lots {
		n += l.N
	}
	if s.All {
		s.bulging(f, lots, n, each)
		return
	}
	for tiers := n; tiers > 0; tiers-- {
		if p := s.thinnest(f, lots, tiers); p != nil {
			each(p)
		}
		if !s.Gaps {
			return
		}
	}
}

// thinnest is the thinnest pile of so many tiers at most in a soft bag: the thinnest in the room of a flat
// bag, then that in the room which this one leaves, and so on until the room suffices; no pile that goes into
// the bag is ever thinner.
func (s *Spread) thinnest(f *Footing, lots []lot, tiers int) *Pile {
	bulk := tiers
	if !s.Gaps {
		bulk = 1 // nothing lies in the gaps
	}
	for thick := measure.Length(0); ; {
		r := f.Within(thick, bulk)
		if r.Short <= 0 {
			return nil
		}
		var best *Pile
		for p := s.quarters(r).piles(lots); p != nil; p = p.also {
			if p.Tiers <= tiers || !s.Gaps {
				if best == nil || p.Thick < best.Thick {
					best = p
				}
			}
		}
		if best == nil || best.Thick <= thick {
			return best
		}
		thick = best.Thick
	}
}

// bulging looks at each thickness that there is in the room of a flat bag.
func (s *Spread) bulging(f *Footing, lots []lot, n int, each func(*Pile)) {
	for wide := s.quarters(f.Within(0, 1)).piles(lots); wide != nil; wide = wide.also {
		bulk := wide.Tiers
		if !s.Gaps {
			bulk = 1
		}
		r := f.Within(wide.Thick, bulk)
		if r.Short <= 0 {
			continue
		}
		for p := s.quarters(r).piles(lots); p != nil; p = p.also {
			if p.Thick == wide.Thick && (!s.Gaps || p.Tiers == wide.Tiers) {
				each(p)
			}
		}
	}
}

// Mat is the rectangle that all tiers take.
func (p *Pile) Mat() (width, height measure.Length) {
	for ; p.First != nil; p = p.Rest {
		width, height = max(width, p.First.width), max(height, p.First.height)
	}
	return width, height
}

// Wide reports whether each leaf has room by itself, and the two smallest sides beside one another; when not,
// nothing can lie side by side.
func (r Oblong) Wide(lots []lot) bool {
	var least, next measure.Length
	for _, l := range lots {
		if l.Long > r.Long || l.Short > r.Short {
			return false
		}
		for range min(l.N, 2) {
			if least == 0 || l.Short < least {
				least, next = l.Short, least
			} else if next == 0 || l.Short < next {
				next = l.Short
			}
		}
	}
	return next > 0 && least+next <= r.Long
}
