package setups

import (
	"math/bits"
	"slices"
)

// set is wraps, by their places.
type set uint64

func (s set) size() int         { return bits.OnesCount64(uint64(s)) }
func (s set) within(o set) bool { return s&^o == 0 }

// unit is orders that are planned together: by which wraps they go at their cheapest, and what that costs.
type unit struct {
	used set
	cost int64
}

// task is a search for the fewest wraps beside those that are ready.
type task struct {
	all   set // wraps that there are
	ready set // that cost no set-up: they are made anyway
	units []unit
	money int64 // that all units together may cost more
	most  int   // questions
	// ask is what a unit costs by some wraps alone; false when it does not go so, or goes later or less protected.
	ask func(unit int, by set) (int64, bool, error)
}

// answer is the wraps that are left, what the units then cost more, and what is proven.
type answer struct {
	by    set
	more  int64
	asked int
	least int // no plan makes fewer wraps beside those that are ready
}

// fewest finds the fewest wraps by which every unit goes, within the money; of as few, those that cost least. Sets of wraps are tried from the
// smallest on, so the first size at which one holds is the least. It is exact unless it runs out of questions: then it answers with
// what it found, and least is the size that it was at.
func (t task) fewest() (answer, error) {
	plain := set(0)
	for _, u := range t.units {
		plain |= u.used
	}
	best := answer{by: plain | t.ready}
	best.least = best.new(t.ready)
	s := search{task: t, known: map[question]reply{}, failed: make([][]set, len(t.units))}
	for size := range best.least {
		found := false
		err := t.each(size, func(by set) error {
			more, ok, err := s.costs(by)
			if ok && err == nil && (!found || more < best.more) {
				found, best.by, best.more = true, by, more
			}
			return err
		})
		if err == errAsked {
			best.least = min(best.least, size)
			err = nil
			best.asked = s.asked
			return best, err
		}
		if err != nil {
			return best, err
		}
		if found {
			best.least = size
			break
		}
	}
	best.asked = s.asked
	return best, nil
}

// new is how many wraps are made that are not ready.
func (a answer) new(ready set) int { return (a.by &^ ready).size() }

// each calls f for the ready wraps with every choice of so many others, in a fixed order.
func (t task) each(size int, f func(by set) error) error {
	var others []set
	for rest := t.all &^ t.ready; rest != 0; rest &= rest - 1 {
		others = append(others, rest&-rest)
	}
	var choose func(from, left int, by set) error
	choose = func(from, left int, by set) error {
		if left == 0 {
			return f(by)
		}
		for i := from; i+left <= len(others); i++ {
			if err := choose(i+1, left-1, by|others[i]); err != nil {
				return err
			}
		}
		return nil
	}
	return choose(0, size, t.ready)
}

type question struct {
	unit int
	by   set
}

type reply struct {
	cost int64
	ok   bool
}

// search remembers what was asked.
type search struct {
	task
	known  map[question]reply
	failed [][]set // of each unit, wraps by which it does not go within the money
	order  []int   // of the units: those at which a set failed lately in front
	asked  int
}

// costs is what the units cost more by some wraps alone; false when that is more than the money, or one does not go.
func (s *search) costs(by set) (int64, bool, error) {
	if s.order == nil {
		for i := range s.units {
			s.order = append(s.order, i)
		}
	}
	for i := range s.units {
		if slices.ContainsFunc(s.failed[i], by.within) {
			return 0, false, nil
		}
	}
	var more int64
	for at, i := range s.order {
		cost, ok, err := s.cost(i, by)
		if err != nil {
			return 0, false, err
		}
		if alone := cost - s.units[i].cost; !ok || alone > s.money {
			s.failed[i] = append(s.failed[i], by)
			s.order = slices.Insert(slices.Delete(s.order, at, at+1), 0, i)
			return 0, false, nil
		}
		if more += cost - s.units[i].cost; more > s.money {
			return 0, false, nil
		}
	}
	return more, true, nil
}

// cost is what a unit costs by some wraps alone.
func (s *search) cost(i int, by set) (int64, bool, error) {
	if s.units[i].used.within(by) {
		return s.units[i].cost, true, nil
	}
	q := question{i, by}
	if r, ok := s.known[q]; ok {
		return r.cost, r.ok, nil
	}
	if s.asked == s.most {
		return 0, false, errAsked
	}
	s.asked++
	cost, ok, err := s.ask(i, by)
	if err == nil {
		s.known[q] = reply{cost, ok}
	}
	return cost, ok, err
}
