package horizon

import (
	"cmp"
	"slices"
)

// limit is that up to a day no more of an item is taken than came by then. Where no piece comes on the next day, that of the next day says as
// much and more, so there is none.
type limit struct{ item, day, stock int }

func limitsOf(p Problem) []limit {
	var out []limit
	for i, stock := range p.Stock {
		for d := range p.Days {
			if d+1 == p.Days || stock[d+1] != stock[d] {
				out = append(out, limit{i, d, stock[d]})
			}
		}
	}
	return out
}

// option is a way for a whole unit: columns that share no order; the orders in none of them are left out.
type option struct {
	key     int64
	set     Set
	use     []int // what is taken of each limit
	columns []int
}

func compare(a, b int64) int { return cmp.Compare(a, b) }

// front are the options of a unit that may matter: no other costs no more and takes no more of every limit.
func (k *search) front(u Unit, limits []limit) []*option {
	list := []*option{{use: make([]int, len(limits))}}
	for day := range k.Days {
		next := slices.Clone(list)
		for _, o := range list { // a unit has at most one column a day
			for at, c := range u.Columns {
				if c.Day != day || c.Orders&o.set != 0 {
					continue
				}
				if x := k.with(o, c, at, limits); x != nil {
					next = append(next, x)
				}
			}
		}
		list = k.thinned(next)
	}
	whole := Set(1)<<u.Orders - 1
	for _, o := range list { // by now it does not matter which orders are left out
		o.key += int64((whole &^ o.set).Count()) * k.held
		o.set = 0
	}
	return k.thinned(list)
}

// with is an option with one more column; nil when that takes more than there is.
func (k *search) with(o *option, c Column, at int, limits []limit) *option {
	use := slices.Clone(o.use)
	for i, l := range limits {
		if len(c.Use) == 0 || c.Day > l.day {
			continue
		}
		if use[i] += c.Use[l.item]; use[i] > l.stock {
			return nil
		}
	}
	return &option{o.key + k.key(c), o.set | c.Orders, use, append(slices.Clone(o.columns), at)}
}

// mostOptions is how many options a unit keeps for each of its sets of orders; beyond, the best are kept and the plan is not proven.
const mostOptions = 400

// thinned leaves out what another with the same orders dominates.
func (k *search) thinned(list []*option) []*option {
	slices.SortStableFunc(list, func(a, b *option) int { return cmp.Or(cmp.Compare(a.set, b.set), compare(a.key, b.key)) })
	var out []*option
	from := 0
	for _, o := range list {
		if len(out) > 0 && out[len(out)-1].set != o.set {
			from = len(out)
		}
		switch {
		case slices.ContainsFunc(out[from:], func(b *option) bool { return noMore(b.use, o.use) }):
		case len(out)-from >= mostOptions:
			k.cut, k.lost = true, true
		default:
			out = append(out, o)
		}
	}
	return out
}

// noMore reports that a takes no more than b.
func noMore(a, b []int) bool {
	for i, n := range a {
		if n > b[i] {
			return false
		}
	}
	return true
}
