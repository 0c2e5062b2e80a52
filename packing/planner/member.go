package planner

import (
	"math/bits"
	"slices"
	"strings"
	"sync/atomic"

	"solander/calendar"
	"solander/packing"
)

// member is one of the orders that are planned together because they may share parcels. Most orders are alone.
type member struct {
	*packing.Order
	total int // copies
	value int64
}

// members is a set of them: bit i is the i-th.
type members uint16

func (m members) has(i int) bool { return m>>i&1 != 0 }

func (m members) count() int { return bits.OnesCount16(uint16(m)) }

// join adds an order with its sheets.
func (o *order) join(p *packing.Order) {
	m := member{Order: p}
	var sheets []*packing.Sheet
	for i := range p.Sheets {
		sheets = append(sheets, &p.Sheets[i])
	}
	slices.SortFunc(sheets, func(a, b *packing.Sheet) int { return strings.Compare(a.ID, b.ID) })
	from := len(o.groups)
	for _, s := range sheets {
		o.add(s, from)
		m.total += s.Number()
		m.value += int64(s.Number()) * s.Value
	}
	o.all |= 1 << len(o.members)
	o.members = append(o.members, m)
	o.total += m.total
	o.value += m.value
}

// only returns the order without the sheets of all but some members. The groups keep their places.
func (o *order) only(some members) *order {
	if some == o.all {
		return o
	}
	out := *o
	out.all, out.total, out.value = some, 0, 0
	out.groups, out.counts = slices.Clone(o.groups), slices.Clone(o.counts)
	for g := range out.groups {
		if !some.has(out.groups[g].member) {
			out.groups[g].copies, out.counts[g] = 0, 0
		}
	}
	for i, m := range o.members {
		if some.has(i) {
			out.total += m.total
			out.value += m.value
		}
	}
	out.partly, out.spreads = &atomic.Bool{}, slices.Clone(o.spreads)
	for i, s := range out.spreads {
		if s != nil {
			out.spreads[i] = newSpread(s.laying, out.partly, out.exactly())
		}
	}
	return &out
}

// joint are the orders, ascending by id.
func (o *order) joint() []*packing.Order {
	var out []*packing.Order
	for _, m := range o.members {
		out = append(out, m.Order)
	}
	return out
}

// one reports whether the condition holds for one of the orders whose sheets are in a parcel; where it is not
// known which are, whether it holds for each that may be.
func (o *order) one(f facts, holds func(m *member) bool) bool {
	for i := range o.members {
		if f.orders.has(i) && holds(&o.members[i]) != f.any {
			return !f.any
		}
	}
	return f.any
}

// whole is how many copies the orders have whose sheets are in a parcel; where it is not known which are, the
// fewest that they may have.
func (o *order) whole(f facts) int {
	n := 0
	for i, m := range o.members {
		if !f.orders.has(i) {
			continue
		}
		if !f.any {
			n += m.total
		} else if n == 0 || m.total < n {
			n = m.total
		}
	}
	return n
}

// by is the day by which a parcel must arrive: the earliest of its orders; where it is not known which they are,
// the latest that it may be.
func (o *order) by(f facts) calendar.Day {
	var day calendar.Day
	for i, m := range o.members {
		switch {
		case !f.orders.has(i):
		case m.ArriveBy.IsZero() && f.any:
			return m.ArriveBy
		case m.ArriveBy.IsZero():
		case day.IsZero() || m.ArriveBy.Before(day) != f.any:
			day = m.ArriveBy
		}
	}
	return day
}

// ids lists members, ascending.
func (o *order) ids(orders members) []string {
	var out []string
	for i := range o.members {
		if orders.has(i) {
			out = append(out, o.members[i].ID)
		}
	}
	return out
}
