package horizon

import (
	"cmp"
	"context"
	"encoding/binary"
	"math/bits"
	"slices"
)

// search is one problem being solved.
type search struct {
	Problem
	scale
	fronts [][]*option
	stock  []int   // of each limit, but no more than all units could take
	lambda []int64 // what a piece is worth, in keys, by limit
	rest   []int64 // what the units from a place on have as their least key, pieces paid for
	pieces int64   // more than all units could take
	paid   int64   // what the stock is worth
	proved int64   // no plan has a key below it
	cut    bool    // something was left out that may be part of the best plan
	lost   bool    // an option of a unit among it
}

// widths are how many states are kept side by side: in the searches that find a good plan, each among less than the one before it, and in the
// last, which may prove.
var widths = []int{8, 100, 20_000}

func newSearch(p Problem, s scale) *search {
	k := &search{Problem: p, scale: s}
	limits := limitsOf(p)
	for u := range p.Units {
		k.fronts = append(k.fronts, k.front(p.Units[u], limits))
	}
	k.setStock(limits)
	return k
}

// setStock limits the stock to what all units could take, which no plan is the worse for.
func (k *search) setStock(limits []limit) {
	n := len(limits)
	k.stock, k.lambda, k.pieces = make([]int, n), make([]int64, n), 1
	for _, front := range k.fronts {
		for i := range k.stock {
			most := 0
			for _, o := range front {
				most = max(most, o.use[i])
			}
			k.stock[i] += most
		}
	}
	for i := range k.stock {
		k.pieces += int64(k.stock[i])
		k.stock[i] = min(k.stock[i], limits[i].stock)
	}
}

// priceSteps bounds the search for prices, and stays how often it goes on without a better bound.
const (
	priceSteps = 1500
	stays      = 12
)

// prices looks for what scarce pieces are worth, so that the bound is as high as it gets.
func (k *search) prices(ctx context.Context) {
	best, size, stay := int64(-1), k.held, 0
	at := slices.Clone(k.lambda)
	for range priceSteps {
		value, over := k.priced(at)
		if value > best {
			best, stay = value, 0
			copy(k.lambda, at)
		} else if stay++; stay > stays {
			size, stay = size/2, 0
			copy(at, k.lambda)
		}
		if size == 0 || ctx.Err() != nil || !slices.ContainsFunc(over, func(n int) bool { return n != 0 }) {
			break
		}
		for i, n := range over {
			at[i] = min(max(0, at[i]+size*int64(n)), k.dearest())
		}
	}
	k.proved = k.upwards(max(0, best))
	k.rest = make([]int64, len(k.fronts)+1)
	for u := len(k.fronts) - 1; u >= 0; u-- {
		k.rest[u] = k.rest[u+1] + k.cheapest(u, k.lambda).priced(k.lambda)
	}
	k.paid = dot(k.lambda, k.stock)
}

// dearest is the most that a piece may be worth, so that no sum leaves 64 bits.
func (k *search) dearest() int64 {
	if high, low := bits.Mul64(uint64(k.held), uint64(k.pieces)); high == 0 && low < 1<<60 {
		return k.held
	}
	return (1 << 60) / k.pieces
}

// priced is the bound of prices, and how much more is taken than there is.
func (k *search) priced(lambda []int64) (int64, []int) {
	sum, over := -dot(lambda, k.stock), make([]int, len(k.stock))
	for u := range k.fronts {
		o := k.cheapest(u, lambda)
		sum += o.priced(lambda)
		for i, n := range o.use {
			over[i] += n
		}
	}
	for i, n := range k.stock {
		if over[i] -= n; over[i] < 0 && lambda[i] == 0 {
			over[i] = 0
		}
	}
	return sum, over
}

func (k *search) cheapest(u int, lambda []int64) *option {
	var best *option
	low := int64(0)
	for _, o := range k.fronts[u] {
		if key := o.priced(lambda); best == nil || key < low {
			best, low = o, key
		}
	}
	return best
}

func (o *option) priced(lambda []int64) int64 { return o.key + dot(lambda, o.use) }

func dot(lambda []int64, use []int) int64 {
	sum := int64(0)
	for i, l := range lambda {
		sum += l * int64(use[i])
	}
	return sum
}

// state is options of the first units, and what they take.
type state struct {
	key    int64
	priced int64 // the key with what is taken paid for
	use    []int
	last   *option
	prev   *state
}

// plan is an option of each unit.
type plan struct {
	key     int64
	options []*option
}

// best finds a good plan, then looks at all that may be better than that, or than the one known.
func (k *search) best(ctx context.Context, known *plan) plan {
	found, cut := k.through(ctx, widths[0], k.all)
	if known != nil && known.key <= found.key {
		found = *known
	}
	for _, most := range widths[1:] {
		if !cut || found.key <= k.proved {
			k.cut = k.lost
			return found
		}
		k.without(found.key)
		var better plan
		if better, cut = k.through(ctx, most, found.key); better.options != nil {
			found = better
		}
	}
	k.cut = cut || k.lost
	return found
}

// without leaves out the options that no plan below a key has: with one of them the bound is no less.
func (k *search) without(below int64) {
	for u, front := range k.fronts {
		least := k.cheapest(u, k.lambda).priced(k.lambda)
		k.fronts[u] = slices.DeleteFunc(slices.Clone(front), func(o *option) bool {
			return k.upwards(k.rest[0]-k.paid-least+o.priced(k.lambda)) >= below
		})
	}
}

// soonest is a plan in which, of those as good as one that was found, orders wait fewest days.
func (k *search) soonest(ctx context.Context, p Problem, s scale, found plan) plan {
	b := newSearch(p, s)
	key := int64(0)
	for u, o := range found.options {
		for _, at := range o.columns {
			key += s.key(p.Units[u].Columns[at])
		}
		key += int64(k.leftOut(p.Units[u], o)) * s.held
	}
	b.prices(ctx)
	return b.best(ctx, &plan{key, found.options})
}

// leftOut counts the orders of a unit that an option leaves out.
func (k *search) leftOut(u Unit, o *option) int {
	n := u.Orders
	for _, at := range o.columns {
		n -= u.Columns[at].Orders.Count()
	}
	return n
}

// through goes through the units with at most so many states side by side, and finds what is below a key; cut when something was left out
// that might be.
func (k *search) through(ctx context.Context, most int, below int64) (found plan, cut bool) {
	list := []*state{{use: make([]int, len(k.stock))}}
	for u, front := range k.fronts {
		if ctx.Err() != nil {
			most = 1
		}
		var left bool
		list, left = k.further(ctx, u, front, list, most, below)
		cut = cut || left
	}
	if len(list) == 0 {
		return plan{}, cut
	}
	last := slices.MinFunc(list, func(a, b *state) int { return compare(a.key, b.key) })
	found = plan{last.key, make([]*option, len(k.fronts))}
	for u := len(k.fronts) - 1; u >= 0; u-- {
		found.options[u], last = last.last, last.prev
	}
	return found, cut
}

// further adds a unit to the states. Of those that take the same the best stays.
func (k *search) further(ctx context.Context, u int, front []*option, list []*state, most int, below int64) (out []*state, cut bool) {
	known, use, name := map[string]*state{}, make([]int, len(k.stock)), []byte{}
	worth := make([]int64, len(front))
	for i, o := range front {
		worth[i] = o.priced(k.lambda)
	}
	for _, s := range list {
		if ctx.Err() != nil && len(out) > 0 {
			cut = true
			break
		}
		for i, o := range front {
			key, priced := s.key+o.key, s.priced+worth[i]
			if key >= below || k.upwards(priced+k.rest[u+1]-k.paid) >= below || !k.sum(use, s.use, o.use) {
				continue
			}
			name = nameOf(name[:0], use)
			was := known[string(name)]
			switch {
			case was == nil:
				x := &state{key, priced, slices.Clone(use), o, s}
				known[string(name)] = x
				out = append(out, x)
			case key < was.key:
				was.key, was.priced, was.last, was.prev = key, priced, o, s
			}
		}
	}
	// A state that dominates another is before it in this order too: pieces are worth nothing less than nothing.
	slices.SortFunc(out, func(a, b *state) int {
		return cmp.Or(compare(a.priced, b.priced), compare(a.key, b.key), slices.Compare(a.use, b.use))
	})
	out, left := undominated(out, most)
	return out, cut || left
}

// sum adds uses; false when that is more than there is.
func (k *search) sum(out, a, b []int) bool {
	for i := range a {
		if out[i] = a[i] + b[i]; out[i] > k.stock[i] {
			return false
		}
	}
	return true
}

func nameOf(out []byte, use []int) []byte {
	for _, n := range use {
		out = binary.AppendUvarint(out, uint64(n))
	}
	return out
}

// mostCompared bounds how often two states are compared.
const mostCompared = 4_000_000

// undominated are the first of states, at most so many, that no state before them dominates: it costs no more and takes no more of
// everything. more: there are others.
func undominated(list []*state, most int) (out []*state, more bool) {
	out, work := list[:0], 0
	for _, s := range list {
		if len(out) == most {
			return out, true
		}
		work += len(out)
		if work > mostCompared || !slices.ContainsFunc(out, func(b *state) bool { return b.key <= s.key && noMore(b.use, s.use) }) {
			out = append(out, s)
		}
	}
	return out, false
}
