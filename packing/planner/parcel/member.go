package parcel

import (
	"math/bits"
	"slices"
	"strings"
	"sync/atomic"

	"solander/calendar"
	"solander/packing"
	"solander/packing/planner/tiers"
)

// Member is one of the orders that are planned together because they may share parcels. Most orders are alone.
type Member struct {
	*packing.Order
	total int // copies
	value int64
}

// Members is a set of them: bit i is the i-th.
type Members uint16

func (m Members) Has(i int) bool { return m>>i&1 != 0 }

func (m Members) Count() int { return bits.OnesCount16(uint16(m)) }

// join adds an order with its sheets.
func (o *Order) join(p *packing.Order) {
	m := Member{Order: p}
	var sheets []*packing.Sheet
	for i := range p.Sheets {
		sheets = append(sheets, &p.Sheets[i])
	}
	slices.SortFunc(sheets, func(a, b *packing.Sheet) int { return strings.Compare(a.ID, b.ID) })
	from := len(o.Groups)
	for _, s := range sheets {
		o.add(s, from)
		m.total += s.Number()
		m.value += int64(s.Number()) * s.Value
	}
	o.All |= 1 << len(o.Members)
	o.Members = append(o.Members, m)
	o.Total += m.total
	o.Value += m.value
}

// Only returns the order without the sheets of all but some members. The groups keep their places.
func (o *Order) Only(some Members) *Order {
	if some == o.All {
		return o
	}
	out := *o
	out.All, out.Total, out.Value = some, 0, 0
	out.Groups, out.Counts = slices.Clone(o.Groups), slices.Clone(o.Counts)
	for g := range out.Groups {
		if !some.Has(out.Groups[g].Member) {
			out.Groups[g].Copies, out.Counts[g] = 0, 0
		}
	}
	for i, m := range o.Members {
		if some.Has(i) {
			out.Total += m.total
			out.Value += m.value
		}
	}
	out.Partly, out.spreads = &atomic.Bool{}, slices.Clone(o.spreads)
	for i, s := range out.spreads {
		if s != nil {
			out.spreads[i] = tiers.NewSpread(s.Laying, out.Partly, out.exactly())
		}
	}
	return &out
}

// Joint are the orders, ascending by id.
func (o *Order) Joint() []*packing.Order {
	var out []*packing.Order
	for _, m := range o.Members {
		out = append(out, m.Order)
	}
	return out
}

// one reports whether the condition holds for one of the orders whose sheets are in a parcel; where it is not
// known which are, whether it holds for each that may be.
func (o *Order) one(f Facts, holds func(m *Member) bool) bool {
	for i := range o.Members {
		if f.Orders.Has(i) && holds(&o.Members[i]) != f.Any {
			return !f.Any
		}
	}
	return f.Any
}

// Whole is how many copies the orders have whose sheets are in a parcel; where it is not known which are, the
// fewest that they may have.
func (o *Order) Whole(f Facts) int {
	n := 0
	for i, m := range o.Members {
		if !f.Orders.Has(i) {
			continue
		}
		if !f.Any {
			n += m.total
		} else if n == 0 || m.total < n {
			n = m.total
		}
	}
	return n
}

// By is the day by which a parcel must arrive: the earliest of its orders; where it is not known which they are,
// the latest that it may be.
func (o *Order) By(f Facts) calendar.Day {
	var day calendar.Day
	for i, m := range o.Members {
		switch {
		case !f.Orders.Has(i):
		case m.ArriveBy.IsZero() && f.Any:
			return m.ArriveBy
		case m.ArriveBy.IsZero():
		case day.IsZero() || m.ArriveBy.Before(day) != f.Any:
			day = m.ArriveBy
		}
	}
	return day
}

// Ids lists members, ascending.
func (o *Order) Ids(orders Members) []string {
	var out []string
	for i := range o.Members {
		if orders.Has(i) {
			out = append(out, o.Members[i].ID)
		}
	}
	return out
}
