package parcel

import (
	"slices"

	"solander/packing/planner/tiers"
)

// Tiered is how the leaves of a parcel lie side by side; nil where each lies on the one below.
type Tiered struct {
	Pile *tiers.Pile
	Feet []tiers.Foot // of each group
}

// mostFeet bounds the ways to choose packaging per sheet, where it changes the size of the leaves, that are
// tried side by side. Beyond, an order is not proven.
const mostFeet = 256

// beside adds to a list of plain stacks the same leaves side by side, as thin as they go in each room.
func (x *Fold) beside(leaves [][]State, list []State) []State {
	s := x.o.spreads[x.W.Index]
	s.Lock()
	defer s.Unlock()
	if s.Gaps {
		for i := range list {
			list[i].tiers = x.facts.N
		}
	}
	x.footed(leaves, list, func(feet []tiers.Foot, plain []State) {
		lots := s.Lots(feet, x.set)
		for i := range x.W.Ground {
			f := &x.W.Ground[i]
			if !f.Within(0, 1).Wide(lots) {
				continue
			}
			s.Piled(f, lots, func(p *tiers.Pile) {
				if p.Tiers == x.facts.N {
					return // each on the one below
				}
				d := &Tiered{p, feet}
				for j := range plain {
					list = keep(list, plain[j].on(d, s), x.exact)
				}
			})
		}
	})
	return list
}

// on returns a plain stack laid out in tiers.
func (s State) on(d *Tiered, sp *tiers.Spread) State {
	w, h := d.Pile.Mat()
	s.Long, s.Short, s.Thick, s.Lies = max(w, h), min(w, h), d.Pile.Thick, d
	if sp.Gaps {
		s.tiers = d.Pile.Tiers
	}
	return s
}

// footed calls do with each choice of a size for every group's leaves, and the plain stacks of such leaves; all are those
// of any size.
func (x *Fold) footed(leaves [][]State, all []State, do func(feet []tiers.Foot, plain []State)) {
	if feet := oneSize(leaves); feet != nil {
		do(feet, slices.Clone(all))
		return
	}
	sizes := make([][]tiers.Foot, len(leaves))
	ways := 1
	for g := range leaves {
		for i := range leaves[g] {
			if f := leaves[g][i].foot(); !slices.Contains(sizes[g], f) {
				sizes[g] = append(sizes[g], f)
			}
		}
		ways *= max(len(sizes[g]), 1)
		if ways > mostFeet {
			x.o.Partly.Store(true)
			ways = mostFeet
		}
	}
	for n := range ways {
		feet, some := make([]tiers.Foot, len(leaves)), make([][]State, len(leaves))
		for g := range leaves {
			if len(sizes[g]) == 0 {
				continue
			}
			feet[g] = sizes[g][n%len(sizes[g])]
			n /= len(sizes[g])
			for i := range leaves[g] {
				if leaves[g][i].foot() == feet[g] {
					some[g] = append(some[g], leaves[g][i])
				}
			}
		}
		do(feet, x.lay(some, 0, nil))
	}
}

// oneSize returns the size of each group's leaves; nil when there is a choice.
func oneSize(leaves [][]State) []tiers.Foot {
	feet := make([]tiers.Foot, len(leaves))
	for g, list := range leaves {
		for i := range list {
			if feet[g] = list[0].foot(); list[i].foot() != feet[g] {
				return nil
			}
		}
	}
	return feet
}

func (s *State) foot() tiers.Foot { return tiers.Foot{Long: s.Long, Short: s.Short, Thick: s.Thick} }

// gaps is how many gaps there are between the tiers of a stack.
func (x *Fold) gaps(s *State) int {
	if s.tiers > 0 {
		return s.tiers - 1
	}
	return x.facts.N - 1
}

// Levels is how many tiers n sheets lie in.
func (d *Tiered) Levels(n int) int {
	if d == nil {
		return n
	}
	return d.Pile.Tiers
}
