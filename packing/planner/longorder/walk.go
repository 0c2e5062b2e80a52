package longorder

// walk looks at the sets of sheets of a slot, one sheet after the other in the order of its field, and turns back where
// what the rest may gain yet is not enough.
type walk struct {
	x     *master
	f     *field
	s     *slot
	limit int64 // sets are looked for that cost less than this beyond what they are worth
	steps int
	set   []int
	held  []int // of each row
	found func(set []int, beyond int64) (limit int64)
}

// load is what a set has of a slot yet, and what it gains.
type load struct {
	copies            int
	mass, thick       int64
	value, each, gain int64 // each: what its sheets pay for their cover one by one
	hope              int64 // what rows may add to the gain yet
}

// walkSteps bounds the work on one slot, at first.
const walkSteps = 4000

// all looks at every set; false when there were too many.
func (w *walk) all() bool {
	w.step(0, load{copies: min(w.s.Most, w.x.o.Total), mass: w.s.free, thick: int64(w.s.Thick), hope: w.f.hope})
	return w.steps < w.x.steps
}

// short reports that no set that goes on from a place is found.
func (w *walk) short(j int, l *load) bool {
	return w.f.lead(w.s)-l.gain-l.hope-w.f.yet(j, l.copies, l.mass) >= w.limit || w.steps >= w.x.steps
}

func (w *walk) step(j int, l load) {
	for ; j < len(w.f.order) && l.copies > 0; j++ {
		g := w.f.order[j]
		if w.short(j, &l) || w.f.gains[g] <= 0 && w.beyond(&l)-l.hope >= w.limit {
			return // what gains nothing is added only where the sheets before it cost more than they seem to
		}
		for n := min(w.x.counts[g], l.copies); n > 0; n-- {
			next, ok := w.with(l, g, n)
			if !ok || w.short(j+1, &next) {
				continue
			}
			w.steps++
			w.hold(g, n)
			if z := w.beyond(&next); z < w.limit {
				w.limit = w.found(w.set, z)
			}
			w.step(j+1, next)
			w.hold(g, -n)
		}
	}
}

// with adds copies of a group to a load; false when they do not go in.
func (w *walk) with(l load, g, n int) (load, bool) {
	l.copies -= n
	if l.mass -= int64(n) * int64(w.f.Mass[g]); l.mass < 0 {
		return l, false
	}
	if w.s.Thick >= 0 {
		if l.thick -= int64(n) * int64(w.f.Thick[g]); l.thick < 0 {
			return l, false
		}
	}
	l.gain += int64(n) * w.f.gains[g]
	l.value += int64(n) * w.x.o.Groups[g].First.Value
	if w.f.cover != nil {
		l.each += int64(n) * w.f.cover.each[g]
	}
	for _, i := range w.x.rowsOf[g] {
		r := &w.x.rows[i]
		was, now := w.held[i], w.held[i]+n
		worth := w.x.worth[i] * int64(r.times(now)-r.times(was))
		l.gain += worth
		if each := w.x.each[i]; each > 0 {
			l.gain -= each * int64(n)
			l.hope += each * int64(r.short(now)-r.short(was))
		} else {
			l.hope -= max(worth, 0)
		}
	}
	return l, true
}

func (w *walk) hold(g, n int) {
	w.set[g] += n
	for _, i := range w.x.rowsOf[g] {
		w.held[i] += n
	}
}

// beyond is what a set costs in the slot beyond what its sheets are worth, its cover as its value needs.
func (w *walk) beyond(l *load) int64 {
	z := w.s.base - w.f.extra - l.gain
	if w.f.cover != nil {
		z += w.f.cover.price(l.value)*scale - l.each
	}
	return z
}
