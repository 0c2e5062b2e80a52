// Package horizon decides on which of the next days each order goes, where some may share parcels and some packaging is scarce. It
// knows whole numbers alone: orders by their place, days from 0 on, pieces of scarce items, money in minor units. It plans no parcel
// and knows no calendar.
//
// An order goes in a column: some orders of one unit, on one day, with what that costs and what it takes of the scarce items. A plan
// gives each order at most one column, and each unit at most one a day; up to no day it takes more of an item than came by that day. The best plan leaves fewest orders
// out, then costs least, then lets its orders wait fewest days: with money equal, sooner is better.
//
// The search is a branch and bound over the units: what costs no less and takes no less than another is left out, and so is what a
// Lagrangian bound shows to be hopeless. Prices of scarce pieces, a day each, make the bound: right for all prices, and in whole
// numbers. Method: Fisher, The Lagrangian relaxation method for solving integer programming problems (1981), from memory.
package horizon

import (
	"context"
	"math/bits"
	"slices"

	"solander/fault"
)

// MostOrders is how many orders a unit may have.
const MostOrders = 12

// Set is which orders of a unit, a bit each.
type Set uint16

// Count is how many they are.
func (s Set) Count() int { return bits.OnesCount16(uint16(s)) }

// Problem is what is to be decided.
type Problem struct {
	Days  int
	Stock [][]int // of each scarce item, by day, the pieces that came by then
	Units []Unit
	Money bool // days waited do not matter
	Loose bool // columns are missing that a best plan might need: only those that cost least are there for sure
}

// Unit is orders that may share columns; those of two units never do.
type Unit struct {
	Orders  int
	Columns []Column
}

// Column is one way to send some orders of a unit on a day.
type Column struct {
	Orders Set
	Day    int
	Cost   int64
	Least  int64 // what these orders on that day cost at least, taking no more; Cost when that is known
	Waits  int   // days, of all its orders together, after the first on which each could go
	Use    []int // pieces of each scarce item
}

// Worth is what plans are compared by, in this order.
type Worth struct {
	Held  int // orders that do not go
	Money int64
	Waits int
}

// Answer is the best plan that was found.
type Answer struct {
	Worth
	Columns [][]int // of each unit, places of its columns that are taken, by day
	Bound   Worth   // no plan leaves fewer orders out, and none that leaves out as few costs less; of days waited it says nothing
	Proven  bool    // Held and Money are those of Bound
}

// Solve finds the best plan. When ctx ends first, or there is too much to look at, the answer is the best found, not proven, with its
// bound. Faults: Invalid when an amount is negative, a column is out of its unit, or all together is beyond 64 bits.
func Solve(ctx context.Context, p Problem) (Answer, error) {
	s, err := newScale(p)
	if err != nil {
		return Answer{}, err
	}
	k := newSearch(p, s.ofMoney())
	k.prices(ctx)
	found := k.best(ctx, nil)
	var bound int64
	if bound = k.proved; !s.exact || p.Loose {
		bound = k.loosest()
	} else if !k.cut {
		bound = found.key
	}
	bound = min(bound, found.key)
	out := Answer{Bound: k.worth(bound)}
	if !p.Money {
		found = k.soonest(ctx, p, s, found)
	}
	for _, o := range found.options {
		out.Columns = append(out.Columns, o.columns)
	}
	out.Worth = worthOf(p, out.Columns)
	out.Proven = out.Held == out.Bound.Held && out.Money == out.Bound.Money && !p.Loose && s.exact
	return out, nil
}

// worthOf adds up columns of each unit.
func worthOf(p Problem, columns [][]int) (w Worth) {
	for u, of := range p.Units {
		w.Held += of.Orders
		for _, at := range columns[u] {
			c := of.Columns[at]
			w.Held, w.Money, w.Waits = w.Held-c.Orders.Count(), w.Money+c.Cost, w.Waits+c.Waits
		}
	}
	return w
}

// loosest is a key that no plan is below even if columns are missing or cost less than they say.
func (k *search) loosest() int64 {
	sum := int64(0)
	for _, u := range k.Units {
		least := k.front(Unit{u.Orders, cheapest(u.Columns)}, nil)
		sum += slices.MinFunc(least, func(a, b *option) int { return compare(a.key, b.key) }).key
	}
	return sum
}

// cheapest are columns as if they took nothing and cost the least that is possible.
func cheapest(columns []Column) []Column {
	out := slices.Clone(columns)
	for i := range out {
		out[i].Cost, out[i].Use = out[i].Least, nil
	}
	return out
}

// scale makes one number of a Worth: the less, the better.
type scale struct {
	waits int64 // keys of a day waited
	money int64 // keys of a minor unit
	held  int64 // keys of an order left out
	all   int64 // above every key
	exact bool  // of no column is more possible than it says
}

// fine is into how many parts a minor unit is divided where days waited do not count, so that prices may be found more finely.
const fine = 64

func newScale(p Problem) (scale, error) {
	s := scale{exact: true, waits: 1}
	waits, money, orders := int64(fine), int64(1), int64(0)
	var l fault.List
	l.Check(p.Days >= 1, "days", "there is no day to plan", "plan one day at least")
	for _, u := range p.Units {
		l.Check(u.Orders >= 1 && u.Orders <= MostOrders, "units", "a unit has too many orders, or none", "divide it")
		orders += int64(u.Orders)
		most, longest := int64(0), int64(0)
		for _, c := range u.Columns {
			l.Check(c.Orders != 0 && int(c.Orders)>>u.Orders == 0 && c.Day >= 0 && c.Day < p.Days && (len(c.Use) == 0 || len(c.Use) == len(p.Stock)) && c.Waits >= 0,
				"units", "a column has orders, a day or items that are not there", "look at the problem")
			l.Check(c.Least >= 0 && c.Least <= c.Cost && c.Cost < 1<<50, "units", "a column's cost is negative or absurd, or less than possible", "look at the problem")
			s.exact = s.exact && c.Least == c.Cost
			most, longest = max(most, c.Cost), max(longest, int64(c.Waits))
		}
		// A plan takes at most a column for each order.
		money, waits = money+int64(u.Orders)*most, waits+int64(u.Orders)*longest
	}
	if err := l.Err(); err != nil {
		return s, err
	}
	high, held := bits.Mul64(uint64(money), uint64(waits))
	high2, all := bits.Mul64(held, uint64(orders+1))
	if high != 0 || high2 != 0 || all >= 1<<60 {
		return s, fault.New(fault.Invalid, "all orders together cost too much to be compared").ToMend("plan fewer of them")
	}
	s.money, s.held, s.all = waits, int64(held), int64(all)
	return s, nil
}

// ofMoney is a scale on which days waited do not count.
func (s scale) ofMoney() scale {
	s.waits, s.held, s.all = 0, s.held/s.money*fine, s.all/s.money*fine
	s.money = fine
	return s
}

func (s scale) key(c Column) int64 { return c.Cost*s.money + int64(c.Waits)*s.waits }

// upwards is the least key of a plan from a bound on.
func (s scale) upwards(key int64) int64 {
	if s.waits > 0 {
		return key
	}
	return (key + s.money - 1) / s.money * s.money
}

// worth is what a bound says of orders held and of money.
func (s scale) worth(key int64) Worth {
	return Worth{Held: int(key / s.held), Money: (key%s.held + s.money - 1) / s.money}
}
