package check

import (
	"cmp"
	"math/big"
	"slices"

	"solander/calendar"
	"solander/packing"
	"solander/packing/check/exact"
)

// before reports whether one content is listed before another: by order, then by sheet.
func before(a, b packing.Content) bool {
	return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.Sheet, b.Sheet)) < 0
}

// together adds an order to those of a parcel; false when it may not share it, or is not known.
// Source: docs/formats/problem.md, section 3.
func (r *Reckoner) together(p *Packed, id string) bool {
	order := r.orders[id]
	switch {
	case order == nil:
		return false
	case slices.Contains(p.orders, order):
		return true
	case order != p.order && (order.Combine == "" || order.Combine != p.order.Combine):
		return false
	}
	p.orders = append(p.orders, order)
	return true
}

// sheetOf finds the sheet of a content whose order is known.
func (r *Reckoner) sheetOf(c packing.Content) *packing.Sheet {
	return sheetOf(r.orders[c.Order], c.Sheet)
}

// ids are those of the orders of a parcel when it has several. Source: docs/formats/plan.md, section 3.
func (p *Packed) ids() []string {
	var out []string
	if len(p.orders) > 1 {
		for _, o := range p.orders {
			out = append(out, o.ID)
		}
	}
	return out
}

// arriveBy is the earliest day by which one of the parcel's orders wants to be there; none = any.
func (p *Packed) arriveBy() calendar.Day {
	var day calendar.Day
	for _, o := range p.orders {
		if !o.ArriveBy.IsZero() && (day.IsZero() || o.ArriveBy.Before(day)) {
			day = o.ArriveBy
		}
	}
	return day
}

// wholeCopies is how many copies all orders in the parcel have.
func (p *Packed) wholeCopies() int {
	n := 0
	for _, o := range p.orders {
		n += orderCopies(o)
	}
	return n
}

// share is what an order bears of a parcel's cost: by copies, rounded down, and one more for the largest
// remainders, of equal ones the lesser id. Source: docs/formats/plan.md, section 2.
func share(parcel *packing.Parcel, order string) int64 {
	type part struct {
		id    string
		floor int64
		rest  *big.Int
	}
	copies, all := map[string]int64{}, int64(0)
	for _, c := range parcel.Contents {
		copies[c.Order] += int64(c.Copies)
		all += int64(c.Copies)
	}
	if all <= 0 {
		return 0
	}
	var parts []part
	left := parcel.Cost
	for id, n := range copies {
		q, rest := new(big.Int).DivMod(exact.Product(parcel.Cost, n), big.NewInt(all), new(big.Int))
		parts = append(parts, part{id, q.Int64(), rest})
		left -= q.Int64()
	}
	slices.SortFunc(parts, func(a, b part) int { return cmp.Or(b.rest.Cmp(a.rest), cmp.Compare(a.id, b.id)) })
	for i, p := range parts {
		if p.id != order {
			continue
		}
		if int64(i) < left {
			return p.floor + 1
		}
		return p.floor
	}
	return 0
}
