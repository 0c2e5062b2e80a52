package leaving

import (
	"cmp"
	"math/bits"
	"slices"
)

// Plan says by which way each parcel leaves. It is the best of all there are: the fewest parcels stay; then the least money; then the
// fewest trips, each way that is used being one; then the fewest minutes; then the ways that stand first.
type Plan struct {
	By      []int  // for each parcel the place of its way; Stays when it stays
	Trips   []Trip // that are made, in the order of the ways
	Staying []Stay // parcels that no way takes, in their order
	Money   int64  // of all trips
	Minutes int    // of all trips, whatever they cost
}

// Stays is the place of no way.
const Stays = -1

// Trip is one trip.
type Trip struct {
	Way     int
	Parcels []int // places of the parcels, ascending
	Money   int64 // its fee and its minutes
}

// Stay is a parcel that does not leave.
type Stay struct {
	Parcel  int
	Reasons []Reason // one of each way
	Mend    string
}

// Choose finds the plan of a day. It is exact: every set of ways is looked at, and for a set it is known which parcels can go by it together.
func Choose(a Ask) Plan {
	takes := a.takes()
	best := a.over(takes, 0)
	for set := uint(1); set < 1<<len(a.Ways); set++ {
		if p := a.over(takes, set); p.usable && p.compare(best) < 0 {
			best = p
		}
	}
	return a.told(best, takes)
}

// option is what becomes of the parcels when just the ways of a set are gone by.
type option struct {
	set     uint
	by      []int
	usable  bool // each way of the set has its parcels
	left    int
	money   int64
	minutes int
}

// compare orders options, the better first.
func (o option) compare(p option) int {
	return cmp.Or(
		cmp.Compare(o.left, p.left), cmp.Compare(o.money, p.money), cmp.Compare(bits.OnesCount(o.set), bits.OnesCount(p.set)),
		cmp.Compare(o.minutes, p.minutes), cmp.Compare(bits.Reverse(p.set), bits.Reverse(o.set)),
	)
}

// over is the option of a set. First each way gets the parcels for which it comes at least, then every other parcel a way that has room; both
// by exchanging parcels among ways where that makes room. An exchange takes from no way below its least, and from no parcel its way: so
// the first step fails only when no division has the least numbers, and the second leaves the fewest parcels of all divisions
// that do. Source: Mendelsohn and Dulmage, Canadian Journal of Mathematics 10, 1958 (from memory): what two matchings cover on either side,
// one covers on both.
func (a Ask) over(takes []uint, set uint) option {
	m := matching{takes: takes, by: make([]int, len(a.Parcels)), load: make([]int, len(a.Ways)), least: make([]int, len(a.Ways)), most: make([]int, len(a.Ways))}
	out := option{set: set, usable: true}
	for i := range m.by {
		m.by[i] = Stays
	}
	for i, w := range a.Ways {
		if set&(1<<i) == 0 {
			continue
		}
		m.ways = append(m.ways, i)
		m.least[i], m.most[i] = max(1, w.Least), cmp.Or(w.Most, len(a.Parcels))
		out.money, out.minutes = out.money+w.Trip(a.Wage), out.minutes+w.Minutes
	}
	for _, i := range m.ways {
		for m.load[i] < m.least[i] {
			if !m.fetch(i, make([]bool, len(a.Ways))) {
				out.usable = false
				return out
			}
		}
	}
	hopeless := map[uint]bool{} // sets of ways with no room: a later exchange makes none
	for j := range m.by {
		switch may := takes[j] & set; {
		case m.by[j] != Stays:
		case hopeless[may]:
			out.left++
		case !m.place(j, make([]bool, len(a.Ways))):
			hopeless[may] = true
			out.left++
		}
	}
	out.by = m.by
	return out
}

// matching is parcels among ways while they are divided.
type matching struct {
	takes             []uint
	ways              []int // of the set
	by                []int
	load, least, most []int
}

// fetch gets a parcel more for a way: one that has none yet, or one of a way that can spare it, or that can fetch another for it.
func (m *matching) fetch(way int, seen []bool) bool {
	seen[way] = true
	for j := range m.by {
		if m.takes[j]>>way&1 == 1 && m.by[j] == Stays {
			m.move(j, way)
			return true
		}
	}
	for j, from := range m.by {
		if m.takes[j]>>way&1 == 0 || from == Stays || seen[from] {
			continue
		}
		if m.load[from] > m.least[from] || m.fetch(from, seen) {
			m.move(j, way)
			return true
		}
	}
	return false
}

// place finds a way for a parcel: one that has room, or one that can give another parcel away.
func (m *matching) place(parcel int, seen []bool) bool {
	for _, i := range m.ways {
		if m.takes[parcel]>>i&1 == 1 && m.load[i] < m.most[i] {
			m.move(parcel, i)
			return true
		}
	}
	for _, i := range m.ways {
		if m.takes[parcel]>>i&1 == 0 || seen[i] {
			continue
		}
		seen[i] = true
		for j, by := range m.by {
			if by == i && m.place(j, seen) {
				m.move(parcel, i)
				return true
			}
		}
	}
	return false
}

// move puts a parcel on a way.
func (m *matching) move(parcel, way int) {
	if from := m.by[parcel]; from != Stays {
		m.load[from]--
	}
	m.by[parcel] = way
	m.load[way]++
}

// told is an option as a plan.
func (a Ask) told(o option, takes []uint) Plan {
	out := Plan{By: o.by, Money: o.money, Minutes: o.minutes}
	for i, w := range a.Ways {
		if o.set&(1<<i) != 0 {
			out.Trips = append(out.Trips, Trip{Way: i, Money: w.Trip(a.Wage)})
		}
	}
	for j, by := range o.by {
		if by == Stays {
			why := a.why(j, takes)
			out.Staying = append(out.Staying, Stay{j, why, mend(why)})
			continue
		}
		at := slices.IndexFunc(out.Trips, func(t Trip) bool { return t.Way == by })
		out.Trips[at].Parcels = append(out.Trips[at].Parcels, j)
	}
	return out
}
